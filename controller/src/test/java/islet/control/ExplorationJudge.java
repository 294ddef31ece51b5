package islet.control;

import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.OperatorOrder;
import islet.contract.TieOrder;
import islet.site.GridProfile.EnterService;
import islet.site.GridProfile.SyncLimits;
import islet.site.Site;
import islet.site.Site.Changeover;
import islet.site.Site.Limits;

/**
 * Judges the orders of a scan by what the devices have said, with a memory of its own: the
 * interlocks of the mode machine's description, written anew. Limits come from the site's battery
 * and from its profile (IEEE Std 1547-2018, Tables 4 and 5, from memory).
 */
final class ExplorationJudge {

  /** Below this a panel is dead, per unit (common practice). */
  private static final double DEAD_PU = 0.1;

  /** A panel above this surely lives, per unit (range B of ANSI C84.1, from memory, with room). */
  private static final double LIVE_PU = 0.9;

  private static final double ROUNDING = 1e-9;

  /** How long something has held without a break. */
  private enum Held {
    NOT,
    SINCE,
    LONG
  }

  private static final Held[] HELD = Held.values();

  private final Site site;
  private final EnterService enter;
  private final SyncLimits sync;
  private final Limits limits;
  private final boolean tied;
  private final boolean byHand;
  private boolean padlocked;
  private boolean drained;
  private Held inBand = Held.NOT;
  private String wrong = "";

  ExplorationJudge(Site site) {
    this.site = site;
    enter = site.profile().enter();
    sync = site.profile().sync();
    limits = site.battery().limits();
    tied = site.arrangement().hasTie();
    byHand = site.changeover().map(Changeover::manual).orElse(false);
  }

  /** What it remembers, as one number. */
  int code() {
    return (padlocked ? 1 : 0) + (drained ? 2 : 0) + 4 * inBand.ordinal();
  }

  void recall(int code) {
    padlocked = (code & 1) != 0;
    drained = (code & 2) != 0;
    inBand = HELD[code / 4];
  }

  /**
   * What may have lasted long enough since it began.
   *
   * @param delay the utility in its band, for the delay to enter service
   * @param low a low battery voltage
   * @param live a live panel behind an open contact that nobody forms
   */
  record RanOut(boolean delay, boolean low, boolean live) {}

  /**
   * Looks at one scan.
   *
   * @param known whether a state of charge was known before it
   * @return what is wrong, or an empty text
   */
  String judge(Field f, boolean known, RanOut ranOut, Phase after, Outputs out) {
    wrong = "";
    remember(f, known, ranOut, out);
    forms(f, ranOut.live, out);
    stands(after, out);
    switches(f, out);
    charges(f, out);
    return wrong;
  }

  private void require(boolean right, String otherwise) {
    if (!right && wrong.isEmpty()) {
      wrong = otherwise;
    }
  }

  private void remember(Field f, boolean known, RanOut ranOut, Outputs out) {
    f.order.ifPresent(
        order -> {
          if (order == OperatorOrder.HOLD) {
            padlocked = true;
          } else if (order == OperatorOrder.RELEASE) {
            padlocked = false;
          }
        });
    boolean tieHeard = site.arrangement().hasSwitch() && Field.heard(f.tieAge);
    boolean good =
        (tieHeard || Field.heard(f.meterAge))
            && f.utilityPu >= enter.minimumPu()
            && f.utilityPu <= enter.maximumPu()
            && f.utilityHz >= enter.minimumHz()
            && f.utilityHz <= enter.maximumHz();
    inBand = f.dipped && good ? Held.SINCE : follow(inBand, good, ranOut.delay);
    // The first count begins with a guess from the voltage, whatever the grid says.
    double soc = known ? f.soc : out.soc;
    boolean low = f.validVoltage() && f.batteryV <= limits.disconnectV();
    boolean disconnected =
        Field.heard(f.inverterAge)
            && f.inverter == InverterState.FAULT
            && f.inverterTrip == InverterTrip.DC_LOW;
    if ((low && ranOut.low) || disconnected || (known && f.soc <= limits.floorSoc())) {
      drained = true;
    } else if (f.validVoltage()
        && f.batteryV >= limits.reconnectV()
        && soc >= limits.recoverySoc()) {
      drained = false;
    }
  }

  private static Held follow(Held before, boolean holds, boolean over) {
    if (!holds) {
      return Held.NOT;
    }
    return switch (before) {
      case NOT -> Held.SINCE;
      case SINCE -> over ? Held.LONG : Held.SINCE;
      case LONG -> Held.LONG;
    };
  }

  private void switches(Field f, Outputs out) {
    if (!out.tieOrdered) {
      return;
    }
    require(site.arrangement().hasSwitch(), "orders a switch that is not there");
    require(!byHand, "orders a switch that only a person moves");
    if (out.tie != TieOrder.CLOSE) {
      return;
    }
    require(!padlocked, "closes under a padlock");
    require(Field.heard(f.tieAge), "closes a switch that is not heard");
    require(inBand == Held.LONG, "closes before the utility has held its band for the delay");
    if (tied) {
      // For an inverter that is not heard the meter must say the same, and nobody may tell it to
      // form.
      boolean idle =
          Field.heard(f.inverterAge)
              ? !f.forming()
              : Field.heard(f.meterAge) && !ordersForming(out);
      boolean dead = f.panelPu < DEAD_PU && idle;
      require(!f.contactClosed, "closes a tie that says closed");
      require(dead || inStep(f), "closes out of step onto a live panel");
    }
  }

  private boolean inStep(Field f) {
    return Math.abs(f.utilityPu - f.panelPu) <= sync.voltagePu()
        && Math.abs(f.utilityHz - f.panelHz) <= sync.frequencyHz()
        && Math.abs(f.angleDeg) <= sync.angleDeg();
  }

  private static boolean ordersForming(Outputs out) {
    return out.inverterOrdered
        && (out.inverter == InverterOrder.FORM || out.inverter == InverterOrder.SYNCHRONISE);
  }

  private void forms(Field f, boolean liveForLong, Outputs out) {
    boolean forms = ordersForming(out);
    require(!(forms && drained), "discharges a battery at its floor");
    require(!(out.islandPermit && drained), "permits an island on a battery at its floor");
    require(!(drained && out.feedLimitW > 0), "feeds from a battery at its floor");
    if (forms && tied) {
      require(!(Field.heard(f.tieAge) && f.contactClosed), "forms behind a closed tie");
      // A silent tie proves nothing: then only an island that stands already is kept up.
      require(
          Field.heard(f.tieAge) || (Field.heard(f.inverterAge) && f.forming()),
          "forms behind a tie that is not heard");
    }
    if (forms && tied && liveForLong) {
      boolean denied = f.inverterAge == 0 && !f.forming();
      boolean live = f.panelPu >= LIVE_PU && f.inverterPu >= LIVE_PU && f.meterPanelPu >= LIVE_PU;
      require(
          !(denied && live && Field.heard(f.tieAge)),
          "forms onto a panel that lives behind an open contact");
    }
    if (out.inverterOrdered && !tied) {
      require(
          out.inverter != InverterOrder.SYNCHRONISE && out.inverter != InverterOrder.FOLLOW,
          "orders an inverter to meet a utility that it can't meet");
    }
  }

  private void stands(Phase after, Outputs out) {
    require(out.mode == after.mode(), "tells another mode than it is in");
    switch (after) {
      case LISTEN ->
          require(
              !out.tieOrdered && !out.inverterOrdered && !out.chargingOrdered,
              "orders before the field has reported");
      case WAIT_FOR_PERSON -> {
        require(!out.tieOrdered || out.tie == TieOrder.OPEN, "closes while held");
        require(out.inverterOrdered && out.inverter == InverterOrder.OFF, "runs while held");
        require(!out.islandPermit, "permits an island while held");
      }
      case UNSUPPLIED, CLOSE_ON_DEAD_PANEL ->
          require(!out.islandPermit && !ordersForming(out), "forms in the dark");
      case UNLOAD_TIE ->
          require(
              !out.tieOrdered && out.chargeLimitA == 0, "does more than unload the tie at first");
      case CONNECTED, OPEN_TIE, FORM, CARRY, SYNCHRONISE, CLOSE_TIE -> {}
    }
  }

  private void charges(Field f, Outputs out) {
    double maximumV = limits.maximumV();
    boolean follows = out.inverterOrdered && out.inverter == InverterOrder.FOLLOW;
    double utilityA =
        (follows ? out.chargeLimitA : 0) + (out.chargerEnabled ? out.chargerLimitA : 0);
    double sunA = out.regulatorEnabled ? out.regulatorLimitA : 0;
    require(
        out.regulatorVoltageV <= maximumV
            && out.chargeVoltageV <= maximumV
            && out.chargerVoltageV <= maximumV,
        "sets a voltage above the battery's limit");
    require(
        out.chargeLimitA >= 0 && out.chargerLimitA >= 0 && out.regulatorLimitA >= 0,
        "sets a negative current");
    boolean outside =
        f.temperatureC < limits.minimumChargeC() || f.temperatureC > limits.maximumChargeC();
    boolean over = f.validVoltage() && f.batteryV > maximumV;
    double limitA = outside || over ? 0 : limits.maximumChargeA();
    double drawA = Field.heard(f.inverterAge) ? Math.max(0, f.drawA) : 0;
    require(utilityA + sunA <= limitA + drawA + ROUNDING, "charges above the battery's limit");
    if (!f.validVoltage()) {
      require(
          !out.regulatorEnabled && !out.chargerEnabled && utilityA == 0,
          "charges without a battery voltage");
    }
    require(out.feedLimitW == 0 || follows, "feeds without following the utility");
  }
}
