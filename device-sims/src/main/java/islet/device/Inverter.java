package islet.device;

import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.InverterCommand;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.plant.Plant;
import java.util.Optional;

/**
 * The combined charger and inverter. Follows the utility's voltage, or forms the emergency panel's
 * own. It forms only while the tie's auxiliary contact, which is wired to it, says open; with the
 * supervisor's permit it takes over by itself as soon as that contact opens. It stops by itself on
 * overload, on low and on high DC voltage.
 */
public final class Inverter extends SimulatedDevice {

  /** From the contact's opening to its own voltage at the panel, when it is running already. */
  static final long TAKE_OVER_MICROS = 2_000;

  /**
   * The island runs this much off nominal, so that a returning utility's voltage can be told from
   * its own, Hz.
   */
  static final double ISLAND_OFFSET_HZ = 0.047;

  /** How often it steers while it synchronises. */
  private static final long STEER_MICROS = 50_000;

  /** The angle is brought down with this time constant, s. */
  private static final double STEER_S = 1.5;

  /** It steers with at most this much off the utility's frequency, Hz. */
  private static final double STEER_HZ = 0.2;

  private static final double DEAD_PU = 0.1;

  /** It needs no travel to cease; this much is kept all the same. */
  private static final long CEASE_MICROS = 2_000;

  /**
   * After ceasing it resumes this far inside the limits, per unit (common practice for hysteresis).
   */
  private static final double RESUME_PU = 0.03;

  private final Plant plant;
  private final InverterSettings settings;
  private final AuxiliaryContact tie;
  private final LimitWatch limits;
  private final Optional<OwnCharging> own;
  private final OverloadBudget overload;
  private final Sensor busVoltage = sensors().add("bus.voltage_V");
  private final Sensor acVoltage = sensors().add("critical.voltage_pu");
  private final Sensor acPower = sensors().add("inverter.power_W");
  private InverterOrder order = InverterOrder.FOLLOW;
  private boolean permit;
  private double chargeV;
  private double chargeA;
  private double feedV;
  private double feedW;
  private double exportW;
  private InverterState state = InverterState.OFF;
  private InverterTrip trip = InverterTrip.NONE;
  private long takeOverAt = NEVER;
  private long startsAt = NEVER;
  private long steerAt = NEVER;
  private long lowSince = NEVER;
  private boolean disconnected;
  private boolean wontStart;
  private boolean stuckCharging;
  private boolean ceased;
  private boolean outOfLimits;
  private double stuckA;
  private double handA = -1;
  private boolean locked;
  private long madeTripAt = Long.MIN_VALUE / 2;
  private double islandHz;
  private boolean settingsSent;
  private double sentChargeV;
  private double sentChargeA;
  private double sentFeedV;
  private double sentFeedW;
  private double toldVoltagePu;
  private double toldPowerW;

  /** Connects an inverter to its plant, its broker and the tie's auxiliary contact. */
  public Inverter(
      Plant plant,
      InverterSettings settings,
      AuxiliaryContact tie,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.INVERTER, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.settings = settings;
    this.tie = tie;
    limits = new LimitWatch(settings.limits(), CEASE_MICROS);
    overload = new OverloadBudget(settings.surge(), settings.ratedW(), surroundings.now());
    islandHz = settings.nominalHz() + ISLAND_OFFSET_HZ;
    own = settings.ownCharging().map(OwnCharging::new);
    if (settings.alone()) {
      order = InverterOrder.FORM;
      state = InverterState.FORMING;
      plant.setInverterForming(islandHz);
    } else {
      plant.setInverterOff();
    }
  }

  @Override
  void command(Message message) throws MalformedException {
    InverterCommand c = decode(InverterCommand.LAYOUT, message);
    if (!good(c.seq(), c.at(), c.lifetimeS(), message)) {
      return;
    }
    String refusal = refusal(c);
    if (!refusal.isEmpty()) {
      answer(c.seq(), AckResult.REFUSED, refusal, message);
      return;
    }
    boolean news =
        order != c.order()
            || permit != c.islandPermit()
            || chargeV != c.chargeVoltageV()
            || chargeA != c.chargeLimitA()
            || feedV != c.feedVoltageV()
            || feedW != c.feedLimitW()
            || exportW != c.exportLimitW();
    order = c.order();
    permit = c.islandPermit();
    chargeV = c.chargeVoltageV();
    chargeA = Math.min(c.chargeLimitA(), settings.maximumA());
    feedV = c.feedVoltageV();
    feedW = Math.min(c.feedLimitW(), settings.ratedW());
    exportW = c.exportLimitW();
    answer(c.seq(), AckResult.ACCEPTED, "", message);
    if (news) {
      surroundings().stir();
    }
  }

  private String refusal(InverterCommand c) {
    boolean forms = c.order() == InverterOrder.FORM || c.order() == InverterOrder.SYNCHRONISE;
    if (forms && tie.closed()) {
      return "the tie's auxiliary contact is not open";
    }
    if (forms && locked) {
      return "locked out by its own protection";
    }
    if (forms && state == InverterState.FAULT) {
      return "tripped: " + trip + "; order OFF first";
    }
    if (forms && disconnected) {
      return "low-voltage disconnect: battery not recovered";
    }
    return "";
  }

  @Override
  boolean act(long now) {
    InverterState before = state;
    boolean changed = protect(now);
    if (!locked && (state != InverterState.FAULT || order == InverterOrder.OFF)) {
      changed |= obey(now);
    }
    if (state == InverterState.FOLLOWING) {
      changed |= follow(now);
    } else {
      settingsSent = false;
      limits.reset();
    }
    if (state == InverterState.SYNCHRONISING && now >= steerAt) {
      changed |= steer(now);
    }
    if (state != before) {
      state(state.name(), detail());
    }
    return changed;
  }

  private boolean protect(long now) {
    double bus = busVoltage.read(plant.inverterTerminalV());
    boolean low = bus < settings.disconnectV();
    lowSince = low ? Math.min(lowSince, now) : NEVER;
    if (low && now - lowSince >= micros(settings.disconnectS())) {
      disconnected = true;
    } else if (bus >= settings.reconnectV()) {
      disconnected = false;
    }
    boolean forms = state == InverterState.FORMING || state == InverterState.SYNCHRONISING;
    double load = forms ? plant.inverterLoadVa() : 0;
    boolean spent = overload.spent(load, plant.inverterRatingW(), now);
    if (!forms) {
      return false;
    }
    if (spent) {
      return trip(InverterTrip.OVERLOAD);
    }
    if (disconnected || bus < settings.dcMinimumV()) {
      return trip(InverterTrip.DC_LOW);
    }
    return bus > settings.dcMaximumV() && trip(InverterTrip.DC_HIGH);
  }

  private boolean trip(InverterTrip cause) {
    trip = cause;
    return off(InverterState.FAULT);
  }

  private boolean off(InverterState next) {
    state = next;
    takeOverAt = NEVER;
    startsAt = NEVER;
    steerAt = NEVER;
    plant.setInverterOff();
    return true;
  }

  private boolean obey(long now) {
    return switch (order) {
      case OFF -> {
        trip = InverterTrip.NONE;
        takeOverAt = NEVER;
        startsAt = NEVER;
        yield state != InverterState.OFF && off(InverterState.OFF);
      }
      case FOLLOW -> !(local() && forming() && !tie.closed()) && obeyFollow(now);
      case FORM -> obeyForm(now, InverterState.FORMING);
      case SYNCHRONISE ->
          obeyForm(now, local() ? InverterState.FORMING : InverterState.SYNCHRONISING);
    };
  }

  private boolean forming() {
    return state == InverterState.FORMING || state == InverterState.SYNCHRONISING;
  }

  private boolean obeyFollow(long now) {
    if (tie.closed()) {
      takeOverAt = NEVER;
      startsAt = NEVER;
      if (state != InverterState.FOLLOWING) {
        state = InverterState.FOLLOWING;
        settingsSent = false;
        return true;
      }
      return false;
    }
    if (forming()) {
      return !permit && off(InverterState.OFF);
    }
    if (state == InverterState.FOLLOWING && permit && mayForm()) {
      if (takeOverAt == NEVER) {
        takeOverAt = now + TAKE_OVER_MICROS;
      }
      if (now >= takeOverAt) {
        takeOverAt = NEVER;
        return form(InverterState.FORMING);
      }
      return false;
    }
    if (state == InverterState.FOLLOWING) {
      return false;
    }
    state = InverterState.FOLLOWING;
    settingsSent = false;
    return true;
  }

  private boolean mayForm() {
    return !disconnected && !wontStart && !tie.closed();
  }

  private boolean obeyForm(long now, InverterState wanted) {
    if (tie.closed()) {
      // The wired interlock: closed while forming means that the utility carries the panel from now
      // on.
      return obeyFollow(now);
    }
    if (forming()) {
      if (state != wanted) {
        state = wanted;
        steerAt = wanted == InverterState.SYNCHRONISING ? now : NEVER;
        if (wanted == InverterState.FORMING) {
          plant.setIslandHz(islandHz);
          return true;
        }
      }
      return false;
    }
    if (!mayForm()) {
      return false;
    }
    if (state == InverterState.FOLLOWING) {
      if (takeOverAt == NEVER) {
        takeOverAt = now + TAKE_OVER_MICROS;
      }
      if (now < takeOverAt) {
        return false;
      }
      takeOverAt = NEVER;
      return form(InverterState.FORMING);
    }
    if (startsAt == NEVER) {
      startsAt = now + micros(settings.startS());
      state = InverterState.STARTING;
    }
    if (now < startsAt) {
      return false;
    }
    startsAt = NEVER;
    return form(InverterState.FORMING);
  }

  private boolean form(InverterState next) {
    if (plant.inverterVoltagePu() > DEAD_PU && plant.tieClosed()) {
      // Somebody else's voltage stands at the terminals: the sensing leads see it whatever the
      // contact says.
      return false;
    }
    state = next;
    plant.setInverterForming(islandHz);
    return true;
  }

  private boolean follow(long now) {
    double v = acVoltage.read(plant.criticalVoltagePu());
    // As the grid code asks of every source: out of its limits for the clearing time, it ceases.
    if (limits.passed(v, plant.criticalFrequencyHz(), now)) {
      outOfLimits = true;
    } else if (!limits.violated()) {
      outOfLimits = false;
    }
    // What it feeds lifts the very voltage that it judges by, so it resumes only well inside.
    double margin = ceased ? RESUME_PU : 0;
    boolean usable =
        v >= settings.cessationBelowPu() + margin && v <= settings.maximumPu() - margin;
    ceased = !usable;
    usable &= !outOfLimits;
    double cv = chargeV;
    double ca = usable && !local() ? chargeA : 0;
    if (own.isPresent()) {
      OwnCharging stages = own.get();
      double temperature = plant.batteryTemperatureC();
      double bus = busVoltage.read(plant.inverterTerminalV());
      stages.step(bus, Math.max(0, plant.inverterDcCurrentA()), temperature, now);
      cv = stages.setV(temperature);
      ca = usable && stages.allowed(temperature) ? settings.maximumA() : 0;
    }
    if (handA >= 0) {
      ca = usable ? Math.min(handA, settings.maximumA()) : 0;
    }
    double fv = feedV;
    double room = plant.criticalPowerW() + plant.noncriticalPowerW() + exportW;
    double fw = usable && settings.feeds() && !local() ? Math.max(0, Math.min(feedW, room)) : 0;
    if (stuckCharging && usable) {
      ca = stuckA;
      cv = settings.dcMaximumV();
    }
    // It holds what its own voltmeter calls the set point.
    cv -= busVoltage.offset();
    fv -= busVoltage.offset();
    // A feed limit that follows the loads within a few watts is the same limit.
    boolean same =
        settingsSent
            && cv == sentChargeV
            && ca == sentChargeA
            && fv == sentFeedV
            && (fw == sentFeedW || (fw > 0 && sentFeedW > 0 && Math.abs(fw - sentFeedW) < 5));
    if (same) {
      return false;
    }
    settingsSent = true;
    sentChargeV = cv;
    sentChargeA = ca;
    sentFeedV = fv;
    sentFeedW = fw;
    plant.setInverterFollowing(cv, ca, fv, fw);
    return true;
  }

  private boolean steer(long now) {
    steerAt = now + STEER_MICROS;
    double hz = islandHz;
    if (plant.mainVoltagePu() > DEAD_PU) {
      double wanted = plant.angleDeg() / (360 * STEER_S);
      hz = plant.mainFrequencyHz() - Math.max(-STEER_HZ, Math.min(STEER_HZ, wanted));
    }
    plant.setIslandHz(hz);
    return true;
  }

  @Override
  long timer(long now) {
    long next = sooner(sooner(sooner(NEVER, takeOverAt, now), startsAt, now), steerAt, now);
    next = sooner(next, overload.spentAt(), now);
    if (state == InverterState.FOLLOWING) {
      next = limits.sooner(next, now);
    }
    if (lowSince != NEVER && !disconnected) {
      next = sooner(next, lowSince + micros(settings.disconnectS()), now);
    }
    return next;
  }

  @Override
  boolean jumped() {
    return Math.abs(plant.inverterVoltagePu() - toldVoltagePu) > JUMP_PU;
  }

  @Override
  boolean moved() {
    return Math.abs(plant.inverterVoltagePu() - toldVoltagePu) > 0.01
        || Math.abs(plant.inverterPowerW() - toldPowerW) > 0.05 * settings.ratedW();
  }

  private String detail() {
    return trip == InverterTrip.NONE ? "" : "own protection: " + trip;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    toldVoltagePu = plant.inverterVoltagePu();
    toldPowerW = plant.inverterPowerW();
    return InverterTelemetry.LAYOUT.encode(
        new InverterTelemetry(
            seq,
            now,
            Math.max(0, busVoltage.tell(plant.inverterTerminalV())),
            plant.inverterDcCurrentA(),
            acPower.tell(toldPowerW),
            Math.max(0, acVoltage.tell(toldVoltagePu)),
            plant.inverterFrequencyHz(),
            state,
            trip,
            permit,
            local()));
  }

  /** What it does. */
  public InverterState inverterState() {
    return state;
  }

  /** Whether it could carry the panel: not disconnected, not broken. */
  public boolean able() {
    // With a dead sensor it takes its supply for gone, and rightly does not run.
    return !disconnected
        && !wontStart
        && !locked
        && busVoltage.read(plant.inverterTerminalV()) >= settings.dcMinimumV();
  }

  /** Keeps it from starting to form. */
  public void wontStart(boolean broken) {
    wontStart = broken;
  }

  /**
   * Lets its own protection trip it at the next round, as on a fault within; it goes on by its
   * rule, once it has been ordered off.
   *
   * @param lock whether it stays off whatever it is ordered, until {@link #unlock}
   */
  public void tripNow(boolean lock) {
    locked = lock;
    madeTripAt = surroundings().now();
    if (state != InverterState.OFF) {
      trip(InverterTrip.OVERLOAD);
      state(state.name(), detail());
    }
  }

  /** When a fault within has tripped it last, microseconds since 1970; long ago when none has. */
  public long madeTripAt() {
    return madeTripAt;
  }

  /** Ends what keeps a tripped inverter off. */
  public void unlock() {
    locked = false;
  }

  /**
   * Somebody enters a charging current at the unit, which goes by it whatever it is told.
   *
   * @param amperes 0 or more; negative takes it back
   */
  public void currentByHand(double amperes) {
    handA = amperes;
    settingsSent = false;
  }

  /** Lets it charge with a current whatever it is told; 0 A ends that. */
  public void stuckCharging(double amperes) {
    stuckCharging = amperes > 0;
    stuckA = amperes;
    settingsSent = false;
  }
}
