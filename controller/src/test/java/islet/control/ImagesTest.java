package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
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
import org.junit.jupiter.api.Test;

/**
 * The images of a scan, judged by what they promise: of a utility that moves between two scans the
 * extremes are kept, and what finds no room is counted and not lost in silence.
 */
class ImagesTest {

  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();

  private void tie(double pu, double hz) {
    in.take(new TieTelemetry(0, 0, true, true, pu, hz, 1, 60, 0, TieTrip.NONE, false, false), 7);
  }

  private void meter(double pu, double hz) {
    in.take(new MeterTelemetry(0, 0, pu, hz, 0, 0, 0, 1, 50, 0, 25, "", false), 8);
  }

  @Test
  void theExtremesSinceTheLastScanAreKeptForEachWitness() {
    tie(1, 60);
    meter(1, 60);
    in.scanned();
    tie(0.8, 59.5);
    tie(1.1, 60.5);
    tie(0.99, 59.9);
    meter(0.7, 59.4);
    meter(1.2, 60.6);
    meter(0.98, 60.1);
    assertEquals(0.8, in.lowestPu());
    assertEquals(1.1, in.highestPu());
    assertEquals(59.5, in.lowestHz());
    assertEquals(60.5, in.highestHz());
    assertEquals(0.7, in.meterLowestPu());
    assertEquals(1.2, in.meterHighestPu());
    assertEquals(59.4, in.meterLowestHz());
    assertEquals(60.6, in.meterHighestHz());
    in.scanned();
    assertEquals(0.99, in.lowestPu());
    assertEquals(0.99, in.highestPu());
    assertEquals(59.9, in.lowestHz());
    assertEquals(59.9, in.highestHz());
    assertEquals(0.98, in.meterLowestPu());
    assertEquals(0.98, in.meterHighestPu());
    assertEquals(60.1, in.meterLowestHz());
    assertEquals(60.1, in.meterHighestHz());
  }

  private void tieSays(long at, boolean closed, double pu, long arrived) {
    in.take(
        new TieTelemetry(0, at, closed, true, pu, 60, 1, 60, 0, TieTrip.NONE, false, false),
        arrived);
  }

  /** A report proves something for 3 s; what is older than that comes from a clock set back. */
  @Test
  void aReportThatALaterOneHasOvertakenIsNoNews() {
    tieSays(10_000_000, true, 1, 11_000_000);
    in.scanned();
    tieSays(7_000_000, false, 0.5, 12_000_000);
    assertTrue(in.tie().closed());
    assertEquals(11_000_000, in.tieAt());
    assertEquals(0.5, in.lowestPu(), "what it saw of the utility counts");
    tieSays(6_999_999, false, 1, 13_000_000);
    assertFalse(in.tie().closed());
    assertEquals(13_000_000, in.tieAt());
    in.take(in.tie(), Inputs.NEVER);
    tieSays(6_500_000, true, 1, 14_000_000);
    assertTrue(in.tie().closed(), "after silence everything is news");
    in.take(
        new InverterTelemetry(
            0, 9, 1, 0, 0, 1, 60, InverterState.FORMING, InverterTrip.NONE, false, false),
        20);
    in.take(
        new InverterTelemetry(
            0, 8, 2, 0, 0, 1, 60, InverterState.OFF, InverterTrip.NONE, false, false),
        21);
    assertEquals(InverterState.FORMING, in.inverter().state());
    in.take(new MeterTelemetry(0, 9, 1, 60, 0, 0, 0, 1, 50, 0, 25, "", false), 20);
    in.scanned();
    in.take(new MeterTelemetry(0, 8, 0.4, 60, 0, 0, 0, 1, 51, 0, 25, "", false), 21);
    assertEquals(50, in.meter().batteryVoltageV());
    assertEquals(0.4, in.meterLowestPu());
    in.take(new RegulatorTelemetry(0, 9, 50, 25, 0, 0, 0, 0, 0, ChargeStage.BULK, true, false), 20);
    in.take(new RegulatorTelemetry(0, 8, 51, 25, 0, 0, 0, 0, 0, ChargeStage.OFF, true, false), 21);
    assertEquals(ChargeStage.BULK, in.regulator().stage());
    in.take(new ChargerTelemetry(0, 9, 50, 25, 0, 0, 0, 0, ChargeStage.BULK, true, false), 20);
    in.take(new ChargerTelemetry(0, 8, 50, 25, 0, 0, 0, 0, ChargeStage.OFF, true, false), 21);
    assertEquals(ChargeStage.BULK, in.charger().stage());
  }

  @Test
  void eachDevicesLastWordStandsWithItsArrival() {
    assertEquals(Inputs.NEVER, in.chargerAt());
    tie(1, 60);
    meter(0.9, 60);
    in.take(new RegulatorTelemetry(0, 0, 51, 25, 0, 0, 0, 0, 0, ChargeStage.BULK, true, false), 9);
    in.take(
        new InverterTelemetry(
            0, 0, 52, 0, 0, 1, 60, InverterState.FORMING, InverterTrip.NONE, false, false),
        10);
    in.take(new ChargerTelemetry(0, 0, 53, 25, 0, 0, 0, 0, ChargeStage.BULK, true, false), 11);
    assertTrue(in.tie().closed());
    assertEquals(7, in.tieAt());
    assertEquals(0.9, in.meter().utilityVoltagePu());
    assertEquals(8, in.meterAt());
    assertEquals(51, in.regulator().busVoltageV());
    assertEquals(9, in.regulatorAt());
    assertEquals(InverterState.FORMING, in.inverter().state());
    assertEquals(10, in.inverterAt());
    assertEquals(53, in.charger().busVoltageV());
    assertEquals(11, in.chargerAt());
  }

  @Test
  void anOrderStandsForOneScan() {
    SupervisorCommand order = new SupervisorCommand(1, 0, 10, OperatorOrder.RESET, "", 0);
    assertFalse(in.operatorAsks());
    in.ask(order);
    assertTrue(in.operatorAsks());
    assertEquals(order, in.operator());
    in.scanned();
    assertFalse(in.operatorAsks());
  }

  @Test
  void whatFindsNoRoomIsCounted() {
    for (int i = 0; i < Outputs.ROOM; i++) {
      out.event("kind " + i, "from " + i, "to " + i, "reason " + i);
      out.alarm(AlarmId.BAD_MESSAGE, AlarmState.UNACKNOWLEDGED);
    }
    assertEquals(32, out.events());
    assertEquals(32, out.alarms());
    assertEquals(0, out.lost());
    out.event("one", "too", "many", "");
    out.alarm(AlarmId.BATTERY_LOW, AlarmState.NORMAL);
    assertEquals(32, out.events());
    assertEquals(32, out.alarms());
    assertEquals(2, out.lost());
    assertEquals("kind 31", out.kind(31));
    assertEquals("from 31", out.from(31));
    assertEquals("to 31", out.to(31));
    assertEquals("reason 31", out.reason(31));
    assertEquals(AlarmId.BAD_MESSAGE, out.alarmId(31));
    assertEquals(AlarmState.UNACKNOWLEDGED, out.alarmState(31));
    out.begin();
    assertEquals(0, out.events());
    assertEquals(0, out.alarms());
    assertEquals(2, out.lost(), "counted since the start");
  }
}
