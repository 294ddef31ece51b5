package islet.bench;

import islet.bench.margin.RollingSum;
import islet.contract.Device;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.site.Dispatch;
import islet.site.Site;
import java.util.Optional;

/**
 * The battery is charged from the utility outside the charge windows, and nothing asks for it: more
 * energy of that kind within 24 hours than is tolerated.
 *
 * <p>Causes, by the site's description, the truth and people's orders on the wire: a window is open
 * and its goal not reached; the charge is below the reserve of the hour, or below that of a
 * standing warning; a person forces charging; the site's plan is by prices and not by windows;
 * nobody coordinates the chargers; the supervisor has been silent for longer than the link
 * time-out, or the charging device is off the wire, so that devices run on their own settings. That
 * the next window is not trusted is the supervisor's judgement, so there its word is taken, where
 * the site allows such doubts at all. Under manual authority, and while a person forbids charging,
 * none of these counts but a person's order and the devices' own settings.
 *
 * <p>Reserve and goal are doubted by five points of charge, since no supervisor knows the state of
 * charge better (common practice for shunt-based estimates). Tolerated is 5 % of the bank's nominal
 * energy in 24 hours, the same five points.
 *
 * <p>□ (∫ over the last 24 h of P_charge while ¬cause ≤ E) (see {@link HazardNote}).
 */
final class UnpaidCharge implements Hazard {

  static final String ID = "unpaid-charge";

  private static final double DOUBT_SOC = 0.05;

  private static final double TOLERATED_SHARE = 0.05;

  private static final double HOURS = 24;

  private static final double JOULES_PER_KWH = 3.6e6;

  /** Below this a charger only idles. */
  private static final double IDLE_SHARE = 0.01;

  private final Site site;
  private final Dispatch dispatch;
  private final ChargePermit permit;
  private final PeoplesOrders orders = new PeoplesOrders();
  private final RollingSum unpaid;
  private final boolean windowed;
  private final long silence;
  private final double idleW;
  private final Device charger;
  private boolean chargerGone;
  private long heardAt;
  private double confidence = 1;
  private boolean charged;

  /**
   * The hazard.
   *
   * @param startMicros when the run begins; until a time-out later the supervisor is not silent
   */
  UnpaidCharge(Site site, long startMicros) {
    this.site = site;
    dispatch = site.supervision().dispatch();
    permit = new ChargePermit(site);
    double bankKwh = site.battery().nominalV() * site.battery().capacity20hAh() / 1000;
    unpaid = new RollingSum(TOLERATED_SHARE * bankKwh, Amount.micros(HOURS * 3600));
    windowed =
        site.arrangement().hasUtility()
            && dispatch.plan() == Dispatch.Plan.WINDOWS
            && site.supervision().coordination() == Site.Coordination.SHARED;
    silence = Amount.micros(site.supervision().linkTimeoutS());
    idleW = IDLE_SHARE * site.utilityChargeA() * site.battery().nominalV();
    charger = site.arrangement().hasCharger() ? Device.CHARGER : Device.INVERTER;
    heardAt = startMicros;
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Charging from the utility outside the windows without cause";
  }

  @Override
  public void truth(Truth truth) {
    boolean charges = windowed && truth.utilityChargeW > idleW;
    charged |= charges;
    unpaid.update(
        truth.micros(), charges && !caused(truth) ? truth.utilityChargeW / JOULES_PER_KWH : 0);
  }

  private boolean caused(Truth truth) {
    long now = truth.micros();
    if (chargerGone || now - heardAt > silence || orders.chargeNow(now)) {
      return true;
    }
    if (orders.manual() || orders.chargeOff(now)) {
      return false;
    }
    double soc = truth.get(Signal.BATTERY_SOC) - DOUBT_SOC;
    double goal = permit.windowSoc(now);
    return goal >= 1
        || soc < goal
        || soc < permit.reserveSoc(now, orders.warned(now))
        || (confidence < dispatch.waitConfidence() && soc < permit.highestGoal());
  }

  @Override
  public void asked(long micros, SupervisorCommand order) {
    orders.asked(micros, order);
  }

  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    heardAt = micros;
    confidence = picture.confidence();
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    if (device == charger) {
      chargerGone = !online;
    }
  }

  @Override
  public void finish(long endMicros) {
    unpaid.finish(endMicros);
  }

  @Override
  public Finding finding() {
    if (unpaid.mostAt() < 0) {
      return Finding.idle(unpaid.bound(), "kWh", idle());
    }
    boolean violated = unpaid.violatedAt() >= 0;
    return new Finding(
        unpaid.margin() / unpaid.bound(),
        unpaid.margin(),
        "kWh",
        violated,
        violated ? unpaid.violatedAt() : unpaid.mostAt(),
        "Within "
            + Amount.of(HOURS, "h")
            + " the utility charged "
            + Amount.of(unpaid.most(), "kWh")
            + " outside the windows without cause; tolerated are "
            + Amount.of(unpaid.bound(), "kWh")
            + ".");
  }

  @Override
  public Optional<Distance> distance(long micros) {
    if (!windowed) {
      return Optional.empty();
    }
    double within = unpaid.within(micros);
    double left = unpaid.bound() - within;
    return Optional.of(
        new Distance(
            left / unpaid.bound(),
            left,
            "kWh",
            "In the last "
                + Amount.of(HOURS, "h")
                + " the utility has charged "
                + Amount.of(within, "kWh")
                + " outside the windows without cause; tolerated are "
                + Amount.of(unpaid.bound(), "kWh")
                + "."));
  }

  private String idle() {
    if (!site.arrangement().hasUtility()) {
      return "There is no utility to charge from.";
    }
    if (!windowed) {
      return dispatch.plan() == Dispatch.Plan.OPTIMAL
          ? "The site charges by its plan, not by windows."
          : "Nobody coordinates this site's chargers, so each charges as it is set.";
    }
    return charged ? "Whatever the utility charged had its cause." : "The utility charged nothing.";
  }
}
