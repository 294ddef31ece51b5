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
import islet.site.Site;
import java.util.Optional;

/** What the devices say in one scan of an exploration, true or not; fields are open. */
final class Field {

  /** The instant of every scan of an exploration: only differences of time count. */
  static final long NOW = 1_768_424_400_000_000L;

  /** Heard in time, but not since the last scan. */
  static final long LATE = 1_000_000;

  /** Not heard for so long that it proves nothing. */
  static final long SILENT = 4_000_000;

  double utilityPu = 1;
  double utilityHz = 60;
  boolean dipped;
  boolean contactClosed;
  boolean orderedClosed;
  double panelPu;
  double panelHz;
  double angleDeg;
  TieTrip tieTrip = TieTrip.NONE;
  InverterState inverter = InverterState.OFF;
  InverterTrip inverterTrip = InverterTrip.NONE;
  double inverterPu;
  double meterPanelPu;
  double nominalV = 48;
  double batteryV = 49.6;
  double soc = 0.6;
  double currentA;
  double temperatureC = 25;
  double sunA;
  double drawA;
  long regulatorAge;
  long inverterAge;
  long tieAge;
  long meterAge;
  long chargerAge;
  Optional<OperatorOrder> order = Optional.empty();

  boolean forming() {
    return inverter == InverterState.FORMING || inverter == InverterState.SYNCHRONISING;
  }

  static boolean heard(long age) {
    return age < SILENT;
  }

  boolean validVoltage() {
    return (heard(regulatorAge) || heard(inverterAge) || heard(meterAge))
        && batteryV > 0.5 * nominalV
        && batteryV < 1.6 * nominalV;
  }

  /** The input image that holds just this. */
  Inputs image(Site site, boolean withOrder) {
    Inputs in = new Inputs();
    long tieAt = site.arrangement().hasSwitch() ? NOW - tieAge : Inputs.NEVER;
    in.take(tie(utilityPu), tieAt);
    in.take(meter(utilityPu), NOW - meterAge);
    in.scanned();
    if (dipped) {
      in.take(tie(0), tieAt);
      in.take(meter(0), NOW - meterAge);
      in.take(tie(utilityPu), tieAt);
      in.take(meter(utilityPu), NOW - meterAge);
    }
    in.take(
        new RegulatorTelemetry(
            0, NOW, batteryV, temperatureC, 0, 0, sunA, 0, 0, ChargeStage.BULK, true, false),
        NOW - regulatorAge);
    in.take(
        new InverterTelemetry(
            0,
            NOW - inverterAge,
            batteryV,
            -drawA,
            0,
            inverterPu,
            inverterPu > 0 ? (forming() ? ISLAND_HZ : panelHz) : 0,
            inverter,
            inverterTrip,
            false,
            false),
        NOW - inverterAge);
    if (site.arrangement().hasCharger()) {
      in.take(
          new ChargerTelemetry(
              0, NOW, batteryV, temperatureC, 0, 0, 0, 0, ChargeStage.BULK, true, false),
          NOW - chargerAge);
    }
    if (withOrder && order.isPresent()) {
      in.ask(new SupervisorCommand(1, NOW, 10, order.get(), KEY, 0));
    }
    return in;
  }

  /** The one padlock of an exploration. */
  static final String KEY = "line crew";

  /** An island's frequency, a little off nominal. */
  static final double ISLAND_HZ = 60.047;

  private MeterTelemetry meter(double sidePu) {
    return new MeterTelemetry(
        0,
        NOW,
        sidePu,
        sidePu > 0 ? utilityHz : 0,
        0,
        0,
        0,
        meterPanelPu,
        batteryV,
        currentA,
        temperatureC,
        "",
        false);
  }

  private TieTelemetry tie(double sidePu) {
    return new TieTelemetry(
        0,
        NOW - tieAge,
        contactClosed,
        orderedClosed,
        sidePu,
        sidePu > 0 ? utilityHz : 0,
        panelPu,
        panelPu > 0 ? panelHz : 0,
        angleDeg,
        tieTrip,
        false,
        false);
  }
}
