package islet.bench;

import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Device;
import islet.contract.Mode;
import islet.contract.SupervisorTelemetry;
import islet.fault.Fault;
import islet.fault.FaultFamily;
import islet.fault.FaultKind;
import islet.fault.Owed;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * An injected fault that matters raises none of the alarms that tell of it in the time in which one
 * is owed; or an alarm rings in a run in which nothing is wrong. Judged on what the script injected
 * and on the alarms on the wire; the supervisor is not asked whether it knew.
 *
 * <p>In symbols, for each fault: □ (matters held for T → ◇ alarm), T the time that {@link
 * FaultKind#owed()} states. The margin is what is left of T, in s.
 *
 * <p><b>When a fault matters.</b> Only while its effect is there, as {@link Owed.From} says: a
 * welded tie when it should be open, a sensor while it is off by more than twice what the
 * supervisor's documents say it bears. The time counts in one piece, so that a fault shorter than
 * what is owed owes nothing. It does not count
 *
 * <ul>
 *   <li>while the supervisor cannot be heard, which is seen by its heartbeat, or has just started;
 *   <li>while another fault is on the link of the supervisor or of the same device, or on the
 *       supervisor's clock;
 *   <li>for a sensor, while another fault of a sensor, a link or the battery is there: the
 *       witnesses that should outvote it may be wrong themselves.
 * </ul>
 *
 * <p><b>When nothing is wrong.</b> As long as the script has injected nothing, changed nothing at
 * the utility and asked for nothing. An alarm that rings then is false, save a low, cold or hot
 * battery and one that its own unit takes off the bus, which a healthy night can bring; an inverter
 * that trips, which a load too large brings; and one that tells that the utility is away.
 */
final class SilentFault implements Hazard {

  static final String ID = "silent-fault";

  /** Bad news of a sensor counts from this many times what is borne. */
  private static final double CLEAR = 2;

  /** What the supervisor bears: voltage as a share of nominal, and of the cable's drop. */
  private static final double VOLTAGE_SHARE = 0.02;

  private static final double CABLE_SHARE = 0.5;

  /** Current: the 50-hour current and a share of what flows. */
  private static final double CURRENT_HOURS = 50;

  private static final double CURRENT_SHARE = 0.05;

  /** Temperature, K. */
  private static final double APART_K = 10;

  /** A panel below is dead, per unit. */
  private static final double DEAD_PU = 0.1;

  /** The longest that anything is owed in, s: what is left when nothing ever was. */
  private static final double IDLE_S = 180;

  /** So many heartbeats may be missed until a supervisor counts as not heard. */
  private static final double PATIENCE = 2.5;

  private static final double MICROS_PER_HOUR = 3_600e6;

  private final Site site;
  private final long patience;
  private final boolean byHand;
  private final boolean[] stands = new boolean[AlarmId.values().length];
  private final List<Pending> pending = new ArrayList<>();
  private final List<Fault> active = new ArrayList<>();

  private boolean calm = true;
  private long at;
  private boolean heard;
  private long heardAt;
  private Mode mode = Mode.STARTING;
  private boolean utilityLive = true;
  private boolean contactClosed;
  private double criticalPu = 1;
  private double busV;
  private double batteryV;
  private double batteryA;
  private double batteryC;
  private boolean realLinks;
  private Finding worst =
      Finding.idle(IDLE_S, "s", "No fault that matters was there, and no alarm was false.");

  SilentFault(Site site) {
    this.site = site;
    patience = Amount.micros(site.supervision().heartbeatS() * PATIENCE);
    byHand = site.changeover().map(Site.Changeover::manual).orElse(false);
  }

  /** A fault that has not been noticed yet. */
  private static final class Pending {
    final Fault fault;
    final long begun;
    final double heldTruth;
    final long within;
    long counted;
    long silentAt = -1;

    Pending(Fault fault, long begun, double heldTruth, long within) {
      this.fault = fault;
      this.begun = begun;
      this.heldTruth = heldTruth;
      this.within = within;
    }
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Fault without its alarm, or alarm without a fault";
  }

  /** A fault begins or ends. */
  void injected(long micros, Fault fault, boolean on) {
    advance(micros);
    calm = false;
    if (!on) {
      active.remove(fault);
      for (int i = pending.size() - 1; i >= 0; i--) {
        if (pending.get(i).fault.equals(fault)) {
          settle(pending.remove(i), micros, "it ended");
        }
      }
      return;
    }
    active.add(fault);
    Owed owed = fault.kind().owed();
    if (owed.any() && couldBeSeen(fault)) {
      Pending next = new Pending(fault, micros, truthOf(fault), Amount.micros(owed.withinS()));
      if (rung(owed)) {
        settle(next, micros, "its alarm stood already");
      } else {
        pending.add(next);
      }
    }
  }

  /** The utility changes, or a person asks for something. */
  void astir() {
    calm = false;
  }

  /** Whether anything else measures what a sensor does, so that it can be found out. */
  private boolean couldBeSeen(Fault fault) {
    if (fault.kind() == FaultKind.SENSOR_NOT_FINITE || fault.signal().isEmpty()) {
      return !(byHand && fault.kind() == FaultKind.TIE_WELDED);
    }
    return switch (fault.signal()) {
      case "bus.voltage_V", "battery.temperature_C" -> !fault.device().equals("charger");
      case "battery.voltage_V", "battery.current_A" -> true;
      default -> false;
    };
  }

  private boolean rung(Owed owed) {
    for (AlarmId id : owed.alarms()) {
      if (stands[id.ordinal()]) {
        return true;
      }
    }
    return false;
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    if (pending.isEmpty()) {
      at = micros;
    } else {
      advance(micros);
    }
    utilityLive = truth.utilitySourceLive;
    contactClosed = truth.contactClosed;
    criticalPu = truth.get(Signal.CRITICAL_VOLTAGE);
    busV = truth.get(Signal.BUS_VOLTAGE);
    batteryV = truth.get(Signal.BATTERY_VOLTAGE);
    batteryA = truth.get(Signal.BATTERY_CURRENT);
    batteryC = truth.get(Signal.BATTERY_TEMPERATURE);
  }

  /** Links are real: nobody knows what befalls them, so no alarm counts as rung for nothing. */
  void linksAreReal() {
    realLinks = true;
  }

  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    advance(micros);
    heard = true;
    heardAt = micros;
    mode = picture.mode();
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    if (device == Device.SUPERVISOR && !online) {
      advance(micros);
      heard = false;
    }
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    advance(micros);
    stands[alarm.id().ordinal()] = Alarms.stands(alarm.state());
    if (calm && !realLinks && alarm.state() == AlarmState.UNACKNOWLEDGED && !rightly(alarm.id())) {
      worst =
          worst.tighter(
              new Finding(
                  -1,
                  -1,
                  "s",
                  true,
                  micros,
                  "The alarm " + alarm.id() + " rang, and nothing was wrong."));
    }
    for (int i = pending.size() - 1; i >= 0; i--) {
      if (rung(pending.get(i).fault.kind().owed())) {
        settle(pending.remove(i), micros, "it rang");
      }
    }
  }

  /** What may ring while nothing is wrong. */
  private static boolean rightly(AlarmId id) {
    return switch (id) {
      case BATTERY_LOW,
          BATTERY_COLD_OR_HOT,
          BATTERY_CONTACTOR_OPEN,
          INVERTER_TRIPPED,
          SWITCH_BY_HAND ->
          true;
      case TIE_NOT_OPEN,
          TIE_NOT_CLOSED,
          TIE_DOUBTFUL,
          INVERTER_NOT_FORMING,
          SENSORS_DISAGREE,
          NO_BATTERY_VOLTAGE,
          DEVICE_SILENT,
          COMMAND_REFUSED,
          BAD_MESSAGE,
          SYNC_TIMEOUT,
          START_TIMEOUT,
          CONTRADICTION,
          JOURNAL_FAILED,
          OVERRIDE_ACTIVE ->
          false;
    };
  }

  @Override
  public void finish(long endMicros) {
    advance(endMicros);
    for (Pending left : pending) {
      settle(left, endMicros, "the run ended");
    }
    pending.clear();
  }

  /** Counts the time since the last look for those that matter. */
  private void advance(long micros) {
    long passed = micros - at;
    if (passed > 0) {
      for (int i = pending.size() - 1; i >= 0; i--) {
        Pending one = pending.get(i);
        if (!matters(one)) {
          if (one.silentAt >= 0) {
            settle(pending.remove(i), micros, "it mattered no more");
          }
          one.counted = 0;
        } else if (audible(one.fault)) {
          one.counted += passed;
          if (one.counted > one.within && one.silentAt < 0) {
            one.silentAt = micros - (one.counted - one.within);
          }
        }
      }
    }
    at = micros;
  }

  private boolean matters(Pending one) {
    return switch (one.fault.kind().owed().from()) {
      case NEVER -> false;
      case BEGINNING -> true;
      case TIE_SHOULD_BE_OPEN -> contactClosed && !utilityLive;
      case TIE_SHOULD_CLOSE -> mode == Mode.RECONNECTING;
      // In HELD nobody orders a start, so nothing shows.
      case PANEL_SHOULD_LIVE -> criticalPu < DEAD_PU && !contactClosed && mode != Mode.HELD;
      case FAR_OFF -> farOff(one);
    };
  }

  /** Whether what happens could be seen and said by the supervisor at present. */
  private boolean audible(Fault fault) {
    if (!heard || at - heardAt > patience || mode == Mode.STARTING) {
      return false;
    }
    for (Fault other : active) {
      if (!other.equals(fault) && hides(other, fault)) {
        return false;
      }
    }
    return true;
  }

  private static boolean hides(Fault other, Fault fault) {
    boolean link = other.kind().family() == FaultFamily.LINK;
    if (other.kind() == FaultKind.SUPERVISOR_CLOCK_STEP
        || (link && !other.device().equals("broker") && onTheWay(other, fault))) {
      return true;
    }
    boolean witness =
        link
            || other.kind().family() == FaultFamily.SENSOR
            || other.kind().family() == FaultFamily.BATTERY
            || other.kind() == FaultKind.DISCONNECT_LEFT_OPEN;
    return fault.kind().family() == FaultFamily.SENSOR && witness;
  }

  private static boolean onTheWay(Fault other, Fault fault) {
    return other.device().equals("supervisor") || other.device().equals(fault.device());
  }

  /** The truth of what a faulty sensor measures; 0 when it is none. */
  private double truthOf(Fault fault) {
    return switch (fault.signal()) {
      case "bus.voltage_V" -> busV;
      case "battery.voltage_V" -> batteryV;
      case "battery.current_A" -> batteryA;
      case "battery.temperature_C" -> batteryC;
      default -> 0;
    };
  }

  private boolean farOff(Pending one) {
    Fault fault = one.fault;
    double truth = truthOf(fault);
    double told = told(one, truth);
    return Math.abs(told - truth) >= CLEAR * borne(fault.signal(), truth, told);
  }

  /** What a faulty sensor tells while this is the truth. */
  private double told(Pending one, double truth) {
    Fault fault = one.fault;
    FaultKind kind = fault.kind();
    if (kind == FaultKind.SENSOR_BIAS) {
      return truth + fault.number("by");
    }
    if (kind == FaultKind.SENSOR_DRIFT) {
      return truth + fault.number("perHour") * ((at - one.begun) / MICROS_PER_HOUR);
    }
    if (kind == FaultKind.SENSOR_UNIT_SLIP) {
      return fault.claim().equals(FaultKind.THOUSANDFOLD) ? truth * 1000 : truth / 1000;
    }
    if (kind == FaultKind.SENSOR_REVERSED) {
      return -truth;
    }
    return kind == FaultKind.SENSOR_STUCK ? one.heldTruth : 0;
  }

  private double borne(String signal, double truth, double told) {
    return switch (signal) {
      case "battery.current_A" ->
          site.battery().capacity20hAh() / CURRENT_HOURS
              + CURRENT_SHARE * Math.max(Math.abs(truth), Math.abs(told));
      case "battery.temperature_C" -> APART_K;
      default ->
          VOLTAGE_SHARE * site.battery().nominalV()
              + CABLE_SHARE * site.battery().cableOhm() * Math.abs(batteryA);
    };
  }

  private void settle(Pending one, long micros, String how) {
    double within = one.within / 1e6;
    double left = within - one.counted / 1e6;
    boolean silent = one.silentAt >= 0;
    String end =
        silent
            ? " and had none of "
                + one.fault.kind().owed().alarms()
                + " for "
                + Amount.of(-left, "s")
                + " more, until "
            : " and " + Amount.of(left, "s") + " were left when ";
    worst =
        worst.tighter(
            new Finding(
                left / within,
                left,
                "s",
                silent,
                silent ? one.silentAt : micros,
                named(one.fault)
                    + " was owed an alarm within "
                    + Amount.of(within, "s")
                    + end
                    + how
                    + "."));
  }

  private static String named(Fault fault) {
    return "The fault "
        + fault.kind().word()
        + " at "
        + fault.device()
        + (fault.signal().isEmpty() ? "" : " " + fault.signal());
  }

  @Override
  public Optional<Distance> distance(long micros) {
    Optional<Distance> nearest = Optional.empty();
    for (Pending one : pending) {
      if (matters(one)) {
        nearest = Distance.nearer(nearest, Optional.of(owed(one, micros)));
      }
    }
    return nearest;
  }

  private Distance owed(Pending one, long micros) {
    long counted = one.counted + (audible(one.fault) ? Math.max(0, micros - at) : 0);
    double within = one.within / 1e6;
    double left = within - counted / 1e6;
    return new Distance(
        left / within,
        left,
        "s",
        named(one.fault)
            + " has mattered for "
            + Amount.of(counted / 1e6, "s")
            + " without an alarm; one is owed within "
            + Amount.of(within, "s")
            + ".");
  }

  @Override
  public Finding finding() {
    return worst;
  }
}
