package islet.control;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.Mode;
import islet.contract.TieOrder;

/**
 * The output image of a scan: what each device shall do, and what happened. Overwritten by every
 * scan.
 */
public final class Outputs {

  /** Events and alarms that one scan can tell; more are counted as lost. */
  public static final int ROOM = 32;

  /** Orders for the tie; nothing is sent unless {@link #tieOrdered}. */
  public TieOrder tie = TieOrder.OPEN;

  /** Whether the tie is ordered anything in this scan. */
  public boolean tieOrdered;

  /** Key of a hold to be placed or released at the tie; empty for none. */
  public String holdKey = "";

  /** Whether {@link #holdKey} places (true) or releases a hold. */
  public boolean holdPlaced;

  /** Order for the inverter; nothing is sent unless {@link #inverterOrdered}. */
  public InverterOrder inverter = InverterOrder.OFF;

  /** Whether the inverter is ordered anything in this scan. */
  public boolean inverterOrdered;

  /** Whether the inverter may form an island by itself once the tie is proven open. */
  public boolean islandPermit;

  /** Charge from AC up to this voltage, V. */
  public double chargeVoltageV;

  /** Charge from AC with at most this current, A. */
  public double chargeLimitA;

  /** Feed AC from DC above this bus voltage, V. */
  public double feedVoltageV;

  /** Feed AC with at most this power, W. */
  public double feedLimitW;

  /**
   * Power that may leave the site at most, W, besides the utility's own limit; 0 when none may.
   * Infinite until a supervisor says otherwise.
   */
  public double exportLimitW = Double.POSITIVE_INFINITY;

  /** Whether regulator and circuits are ordered anything: not before the field has reported. */
  public boolean chargingOrdered;

  /** Whether regulator and charger get their set points from here; else each charges by its own. */
  public boolean setPointsOrdered;

  /** Whether a charger of its own may charge. */
  public boolean chargerEnabled;

  /** Its voltage set point, V. */
  public double chargerVoltageV;

  /** Its current limit, A. */
  public double chargerLimitA;

  /** Whether the regulator may charge. */
  public boolean regulatorEnabled;

  /** The regulator's voltage set point, V. */
  public double regulatorVoltageV;

  /** The regulator's current limit, A. */
  public double regulatorLimitA;

  /** How many circuits of the site's shedding order are to be off. */
  public int shedCount;

  /** The mode after this scan. */
  public Mode mode = Mode.STARTING;

  /** The charge stage after this scan. */
  public ChargeStage stage = ChargeStage.OFF;

  /** What the utility is taken for. */
  public GridState grid = GridState.UNKNOWN;

  /** Where the tie is believed to be. */
  public boolean tieClosed;

  /** Battery voltage as voted, V. */
  public double batteryVoltageV;

  /** State of charge as estimated, 0 to 1. */
  public double soc;

  /** What the voltage alone would make of it, 0 to 1: to be shown, never to be decided by. */
  public double voltageSoc;

  /** Which measurements are not believed, in words with commas between; empty for none. */
  public String doubts = "";

  /** The reserve in force, 0 to 1. */
  public double reserveSoc;

  /** Seconds until the utility has qualified; 0 when it has. */
  public double qualifiedInS;

  /** Whether somebody's warning stands. */
  public boolean warned;

  /** How surely the utility is there for the whole of the next charge window, 0 to 1. */
  public double confidence = 1;

  /** Who begins what. */
  public Authority authority = Authority.AUTO;

  /** What a person has forced, in words with commas between; empty for nothing. */
  public String overrides = "";

  /** Why the operator's order of this scan is refused; empty when it is heeded or there is none. */
  public String refusal = "";

  private final String[] kinds = new String[ROOM];
  private final String[] froms = new String[ROOM];
  private final String[] tos = new String[ROOM];
  private final String[] reasons = new String[ROOM];
  private int events;
  private final AlarmId[] alarmIds = new AlarmId[ROOM];
  private final AlarmState[] alarmStates = new AlarmState[ROOM];
  private int alarms;
  private int lost;

  /**
   * Begins a scan: no event, no alarm, no order to tie and inverter, no hold. Each scan calls it
   * first; what else a scan does not set stays as the one before left it.
   */
  public void begin() {
    events = 0;
    alarms = 0;
    tieOrdered = false;
    inverterOrdered = false;
    holdKey = "";
    refusal = "";
  }

  /**
   * Tells an event; beyond {@link #ROOM} in a scan it is counted as lost.
   *
   * @param kind such as {@code mode} or {@code hold}
   * @param from what was before; empty for nothing
   * @param to what is now; empty for nothing
   * @param reason why, in words for a person
   */
  public void event(String kind, String from, String to, String reason) {
    if (events == ROOM) {
      lost++;
      return;
    }
    kinds[events] = kind;
    froms[events] = from;
    tos[events] = to;
    reasons[events] = reason;
    events++;
  }

  /**
   * Tells that an alarm has changed; beyond {@link #ROOM} in a scan it is counted as lost.
   *
   * @param state the new state, told once when it changes
   */
  public void alarm(AlarmId id, AlarmState state) {
    if (alarms == ROOM) {
      lost++;
      return;
    }
    alarmIds[alarms] = id;
    alarmStates[alarms] = state;
    alarms++;
  }

  /** How many events this scan tells. */
  public int events() {
    return events;
  }

  /** The kind of an event. */
  public String kind(int event) {
    return kinds[event];
  }

  /** What was before. */
  public String from(int event) {
    return froms[event];
  }

  /** What is now. */
  public String to(int event) {
    return tos[event];
  }

  /** Why. */
  public String reason(int event) {
    return reasons[event];
  }

  /** How many changes of alarms this scan tells. */
  public int alarms() {
    return alarms;
  }

  /** Which alarm changed. */
  public AlarmId alarmId(int change) {
    return alarmIds[change];
  }

  /** Its new state. */
  public AlarmState alarmState(int change) {
    return alarmStates[change];
  }

  /** Events and alarms that found no room since the start. */
  public int lost() {
    return lost;
  }
}
