package islet.control;

import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.OperatorOrder;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;

/**
 * The input image of a scan: what each device said last and when that arrived. Filled between
 * scans, constant during one.
 */
public final class Inputs {

  /** The time of arrival of what has never arrived. */
  public static final long NEVER = Long.MIN_VALUE / 2;

  /** As long as a report proves anything. */
  private static final long OVERTAKEN_MICROS = 3_000_000;

  private RegulatorTelemetry regulator =
      new RegulatorTelemetry(0, 0, 0, 0, 0, 0, 0, 0, 0, ChargeStage.OFF, false, true);
  private InverterTelemetry inverter =
      new InverterTelemetry(0, 0, 0, 0, 0, 0, 0, InverterState.OFF, InverterTrip.NONE, false, true);
  private TieTelemetry tie =
      new TieTelemetry(0, 0, false, false, 0, 0, 0, 0, 0, TieTrip.NONE, false, true);
  private MeterTelemetry meter = new MeterTelemetry(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, "", true);
  private ChargerTelemetry charger =
      new ChargerTelemetry(0, 0, 0, 0, 0, 0, 0, 0, ChargeStage.OFF, false, true);
  private long chargerAt = NEVER;
  private long regulatorAt = NEVER;
  private long inverterAt = NEVER;
  private long tieAt = NEVER;
  private long meterAt = NEVER;

  private static final SupervisorCommand NOBODY =
      new SupervisorCommand(0, 0, 0, OperatorOrder.ACKNOWLEDGE, "", 0);
  private SupervisorCommand operator = NOBODY;
  private double lowestPu;
  private double highestPu;
  private double lowestHz;
  private double highestHz;
  private double meterLowestPu;
  private double meterHighestPu;
  private double meterLowestHz;
  private double meterHighestHz;
  private boolean operatorAsks;
  private boolean commandTrouble;
  private boolean tieUnheeded;
  private boolean inverterUnheeded;
  private boolean badMessage;
  private boolean journalTrouble;

  /** What the regulator said last. */
  public RegulatorTelemetry regulator() {
    return regulator;
  }

  /** What the inverter said last. */
  public InverterTelemetry inverter() {
    return inverter;
  }

  /** What the charger said last, in a site that has one of its own. */
  public ChargerTelemetry charger() {
    return charger;
  }

  /** When the charger's telemetry arrived. */
  public long chargerAt() {
    return chargerAt;
  }

  /** What the tie, or the changeover switch, said last. */
  public TieTelemetry tie() {
    return tie;
  }

  /** What the meter said last. */
  public MeterTelemetry meter() {
    return meter;
  }

  /** When the regulator's telemetry arrived, microseconds since 1970, or {@link #NEVER}. */
  public long regulatorAt() {
    return regulatorAt;
  }

  /** When the inverter's telemetry arrived. */
  public long inverterAt() {
    return inverterAt;
  }

  /** When the tie's telemetry arrived. */
  public long tieAt() {
    return tieAt;
  }

  /** When the meter's telemetry arrived. */
  public long meterAt() {
    return meterAt;
  }

  /** Whether an operator asks for something in this scan. */
  public boolean operatorAsks() {
    return operatorAsks;
  }

  /** What the operator asks; only when {@link #operatorAsks()}. */
  public SupervisorCommand operator() {
    return operator;
  }

  /**
   * Whether a device has refused a command, or not answered one in time, and has not accepted one
   * since.
   */
  public boolean commandTrouble() {
    return commandTrouble;
  }

  /** Whether the tie has for a while neither taken nor refused what it was ordered. */
  public boolean tieUnheeded() {
    return tieUnheeded;
  }

  /** The same of the inverter. */
  public boolean inverterUnheeded() {
    return inverterUnheeded;
  }

  /** Says which device seems not to be reached by its orders in time. */
  public void unheeded(boolean tie, boolean inverter) {
    tieUnheeded = tie;
    inverterUnheeded = inverter;
  }

  /** Whether messages have lately been dropped because they were not what their topic promises. */
  public boolean badMessage() {
    return badMessage;
  }

  /** Takes the regulator's telemetry. */
  public void take(RegulatorTelemetry telemetry, long arrivedMicros) {
    if (overtaken(telemetry.at(), regulator.at(), regulatorAt)) {
      return;
    }
    regulator = telemetry;
    regulatorAt = arrivedMicros;
  }

  /** Takes the inverter's telemetry. */
  public void take(InverterTelemetry telemetry, long arrivedMicros) {
    if (overtaken(telemetry.at(), inverter.at(), inverterAt)) {
      return;
    }
    inverter = telemetry;
    inverterAt = arrivedMicros;
  }

  /** Takes the charger's telemetry. */
  public void take(ChargerTelemetry telemetry, long arrivedMicros) {
    if (overtaken(telemetry.at(), charger.at(), chargerAt)) {
      return;
    }
    charger = telemetry;
    chargerAt = arrivedMicros;
  }

  /** Takes the tie's telemetry. */
  public void take(TieTelemetry telemetry, long arrivedMicros) {
    lowestPu = Math.min(lowestPu, telemetry.utilityVoltagePu());
    highestPu = Math.max(highestPu, telemetry.utilityVoltagePu());
    lowestHz = Math.min(lowestHz, telemetry.utilityFrequencyHz());
    highestHz = Math.max(highestHz, telemetry.utilityFrequencyHz());
    if (overtaken(telemetry.at(), tie.at(), tieAt)) {
      // What it saw of the utility counts all the same.
      return;
    }
    tie = telemetry;
    tieAt = arrivedMicros;
  }

  /** Takes the meter's telemetry. */
  public void take(MeterTelemetry telemetry, long arrivedMicros) {
    // A second pair of eyes on the utility: what the meter saw between two scans counts for the
    // delay before a return even when the tie has just gone silent.
    meterLowestPu = Math.min(meterLowestPu, telemetry.utilityVoltagePu());
    meterHighestPu = Math.max(meterHighestPu, telemetry.utilityVoltagePu());
    meterLowestHz = Math.min(meterLowestHz, telemetry.utilityFrequencyHz());
    meterHighestHz = Math.max(meterHighestHz, telemetry.utilityFrequencyHz());
    if (overtaken(telemetry.at(), meter.at(), meterAt)) {
      // What it saw of the utility counts all the same.
      return;
    }
    meter = telemetry;
    meterAt = arrivedMicros;
  }

  /**
   * Whether a report is older by its own date than one that has come before it: on its way it was
   * overtaken. One that is older by far comes from a device whose clock was set back.
   */
  private static boolean overtaken(long at, long newestAt, long newestArrived) {
    return newestArrived != NEVER && at < newestAt && newestAt - at <= OVERTAKEN_MICROS;
  }

  /** Puts an operator's order before the next scan. */
  public void ask(SupervisorCommand order) {
    operator = order;
    operatorAsks = true;
  }

  /** The scan is over: its operator's order is done with, and the extremes begin anew. */
  public void scanned() {
    operatorAsks = false;
    lowestPu = tie.utilityVoltagePu();
    highestPu = lowestPu;
    lowestHz = tie.utilityFrequencyHz();
    highestHz = lowestHz;
    meterLowestPu = meter.utilityVoltagePu();
    meterHighestPu = meterLowestPu;
    meterLowestHz = meter.utilityFrequencyHz();
    meterHighestHz = meterLowestHz;
  }

  /** The lowest utility voltage that the meter has told since the last scan, per unit. */
  public double meterLowestPu() {
    return meterLowestPu;
  }

  /** The highest utility voltage that the meter has told since the last scan, per unit. */
  public double meterHighestPu() {
    return meterHighestPu;
  }

  /** The lowest utility frequency that the meter has told since the last scan, Hz; 0 when dead. */
  public double meterLowestHz() {
    return meterLowestHz;
  }

  /** The highest utility frequency that the meter has told since the last scan, Hz. */
  public double meterHighestHz() {
    return meterHighestHz;
  }

  /** The lowest utility voltage that the tie has told since the last scan, per unit. */
  public double lowestPu() {
    return lowestPu;
  }

  /** The highest utility voltage that the tie has told since the last scan, per unit. */
  public double highestPu() {
    return highestPu;
  }

  /** The lowest utility frequency that the tie has told since the last scan, Hz; 0 when dead. */
  public double lowestHz() {
    return lowestHz;
  }

  /** The highest utility frequency that the tie has told since the last scan, Hz. */
  public double highestHz() {
    return highestHz;
  }

  /** Says whether commands find trouble at the devices. */
  public void commandTrouble(boolean trouble) {
    commandTrouble = trouble;
  }

  /** Says whether bad messages have lately come. */
  public void badMessage(boolean bad) {
    badMessage = bad;
  }

  /** Whether the journal cannot be written. */
  public boolean journalTrouble() {
    return journalTrouble;
  }

  /** Says whether the journal cannot be written. */
  public void journalTrouble(boolean trouble) {
    journalTrouble = trouble;
  }
}
