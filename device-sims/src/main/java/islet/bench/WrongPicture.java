package islet.bench;

import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.Device;
import islet.contract.InverterState;
import islet.contract.Mode;
import islet.contract.SupervisorTelemetry;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.site.Site;
import java.util.Optional;

/**
 * The mode or the tie position that the supervisor tells on the wire differs from the plant for
 * longer than 2 s, and no alarm says that the picture is in doubt.
 *
 * <p>What the supervisor told stands until it tells anew, until it is gone from the wire, or until
 * its heartbeat is overdue: who says nothing says nothing wrong. After a silence of two heartbeats
 * the time begins anew with the next telling.
 *
 * <p>While the bench itself holds up what passes the supervisor's link, the bound is longer by
 * that, there and back: the picture is made of reports that were held up, and is held up itself.
 *
 * <p>□ ◇[0,T] ¬(told ≠ plant ∧ ¬alarm of doubt) (see {@link HazardNote}).
 */
final class WrongPicture implements Hazard {

  static final String ID = "wrong-picture";

  private static final long BOUND = 2_000_000;

  private static final Mode[] MODES = Mode.values();

  private static final InverterState[] INVERTER_STATES = InverterState.values();

  private final long heartbeat;
  private final boolean changeover;

  private boolean seen;
  private boolean contactClosed;
  private boolean utilityLive;
  private boolean criticalDead;
  private InverterState inverter = InverterState.OFF;

  private boolean told;
  private Mode mode = MODES[0];
  private boolean toldClosed;
  private long toldAt;

  private final boolean[] raised = new boolean[AlarmId.values().length];
  private int doubts;

  /** For how long a fault of the supervisor's link holds a message up there and back, µs. */
  private long heldUp;

  /** The longest of that since the picture differs. */
  private long stayHeldUp;

  private long at;
  private long since = -1;
  private String difference = "";
  private long differenceSince;
  private long stoodLongest = -1;
  private String stayDifference = "";
  private long longest;
  private long longestEnd = -1;
  private String longestDifference = "";
  private long violatedAt = -1;

  WrongPicture(Site site) {
    heartbeat = Amount.micros(site.supervision().heartbeatS());
    changeover = site.arrangement().hasChangeover();
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Supervisor's picture differs from the plant";
  }

  @Override
  public void truth(Truth truth) {
    advance(truth.micros());
    seen = true;
    contactClosed = truth.contactClosed;
    utilityLive = truth.utilitySourceLive;
    criticalDead = truth.get(Signal.CRITICAL_VOLTAGE) < OutOfSyncClose.DEAD_PU;
    inverter = INVERTER_STATES[(int) truth.get(Signal.INVERTER_STATE)];
    compare();
  }

  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    advance(micros);
    if (told && micros - toldAt > 2 * heartbeat && since >= 0) {
      since = micros;
    }
    told = true;
    toldAt = micros;
    mode = picture.mode();
    toldClosed = picture.tieClosed();
    compare();
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    if (!castsDoubt(alarm.id())) {
      return;
    }
    advance(micros);
    boolean stands = Alarms.stands(alarm.state());
    int index = alarm.id().ordinal();
    if (stands != raised[index]) {
      raised[index] = stands;
      doubts += stands ? 1 : -1;
    }
    compare();
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    if (device == Device.SUPERVISOR && !online) {
      advance(micros);
      told = false;
      compare();
    }
  }

  @Override
  public void finish(long endMicros) {
    advance(endMicros);
  }

  /** A fault begins or ends; those of the supervisor's link are of interest here. */
  void injected(long micros, Fault fault, boolean on) {
    FaultKind kind = fault.kind();
    long held = 0;
    if (kind == FaultKind.LINK_DELAY || kind == FaultKind.LINK_REORDER) {
      held = fault.micros("by");
    } else if (kind == FaultKind.LINK_JITTER) {
      held = fault.micros("upTo");
    }
    if (held > 0 && fault.device().equals(Device.SUPERVISOR.segment())) {
      advance(micros);
      heldUp += on ? 2 * held : -2 * held;
      stayHeldUp = Math.max(stayHeldUp, heldUp);
    }
  }

  /** Whether an alarm tells a person not to trust the picture of tie and mode. */
  private static boolean castsDoubt(AlarmId id) {
    return switch (id) {
      case TIE_NOT_OPEN,
          TIE_NOT_CLOSED,
          TIE_DOUBTFUL,
          INVERTER_NOT_FORMING,
          INVERTER_TRIPPED,
          DEVICE_SILENT,
          START_TIMEOUT,
          CONTRADICTION ->
          true;
      case BATTERY_LOW,
          BATTERY_COLD_OR_HOT,
          BATTERY_CONTACTOR_OPEN,
          SENSORS_DISAGREE,
          NO_BATTERY_VOLTAGE,
          COMMAND_REFUSED,
          BAD_MESSAGE,
          JOURNAL_FAILED,
          OVERRIDE_ACTIVE,
          SWITCH_BY_HAND,
          SYNC_TIMEOUT ->
          false;
    };
  }

  /** Which mode goes with which plant; empty when it does, otherwise what stands against it. */
  private String against() {
    if (toldClosed != contactClosed) {
      return toldClosed
          ? "it told the tie closed while the contact was open"
          : "it told the tie open while the contact was closed";
    }
    return switch (mode) {
      case GRID_PRESENT ->
          !contactClosed
              ? "it told GRID_PRESENT with the tie's contact open"
              : !utilityLive ? "it told GRID_PRESENT on a dead utility" : "";
      case ISLANDED ->
          contactClosed
              ? "it told ISLANDED with the tie's contact closed"
              : !forms(inverter) ? "it told ISLANDED while no inverter formed an island" : "";
      // A changeover switch may stand on a dead utility; behind a closed tie nothing is dark alone.
      case DARK ->
          contactClosed && !changeover
              ? "it told DARK with the tie's contact closed"
              : !criticalDead ? "it told DARK while the emergency panel was live" : "";
      // On the way, or nothing claimed: only the position of the tie is told.
      case STARTING, ISLANDING, RECONNECTING, HELD -> "";
    };
  }

  private static boolean forms(InverterState state) {
    return switch (state) {
      case FORMING, SYNCHRONISING -> true;
      case OFF, STARTING, FOLLOWING, FAULT -> false;
    };
  }

  private void compare() {
    String now = seen && told && doubts == 0 ? against() : "";
    if (now.isEmpty()) {
      since = -1;
    } else {
      if (since < 0) {
        since = at;
        stayHeldUp = heldUp;
        stoodLongest = -1;
        difference = "";
      }
      if (!now.equals(difference)) {
        difference = now;
        differenceSince = at;
      }
    }
  }

  /** Judges the time up to this instant, as far as the telling stood. */
  private void advance(long micros) {
    if (since >= 0) {
      long until = Math.min(micros, toldAt + heartbeat);
      // A stay begins and ends with the short differences of a transfer; told is what stood
      // longest.
      if (until - differenceSince > stoodLongest) {
        stoodLongest = until - differenceSince;
        stayDifference = difference;
      }
      long stay = until - since - stayHeldUp;
      if (stay > longest) {
        longest = stay;
        longestEnd = until;
        longestDifference = stayDifference;
        if (stay > BOUND && violatedAt < 0) {
          violatedAt = since + stayHeldUp + BOUND;
        }
      }
    }
    at = micros;
  }

  @Override
  public Optional<Distance> distance(long micros) {
    if (since < 0) {
      return Optional.empty();
    }
    double stayS = Math.max(0, Math.min(micros, toldAt + heartbeat) - since - stayHeldUp) / 1e6;
    double bound = BOUND / 1e6;
    return Optional.of(
        new Distance(
            (bound - stayS) / bound,
            bound - stayS,
            "s",
            "The supervisor's picture has been wrong for "
                + Amount.of(stayS, "s")
                + ": "
                + difference
                + "; allowed are "
                + Amount.of(bound, "s")
                + "."));
  }

  @Override
  public Finding finding() {
    double bound = BOUND / 1e6;
    if (longest == 0) {
      return Finding.idle(bound, "s", "What the supervisor told was never at odds with the plant.");
    }
    double margin = (BOUND - longest) / 1e6;
    return new Finding(
        margin / bound,
        margin,
        "s",
        violatedAt >= 0,
        violatedAt >= 0 ? violatedAt : longestEnd,
        "For "
            + Amount.of(longest / 1e6, "s")
            + " the supervisor's picture was wrong without an alarm: "
            + longestDifference
            + "; allowed are "
            + Amount.of(bound, "s")
            + ".");
  }
}
