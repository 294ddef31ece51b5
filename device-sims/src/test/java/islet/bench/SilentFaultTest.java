package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.GridState;
import islet.contract.Mode;
import islet.contract.SupervisorTelemetry;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.site.Site;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * Judged by a clock in the hand: when a fault began, when its alarm rang, and what its own words
 * say is owed.
 */
class SilentFaultTest {

  private static final Site SITE = TestSites.site(Site.OnSag.SEPARATE);
  private static final Fault METER_GONE =
      new Fault(FaultKind.DEVICE_LINK_LOST, "meter", "", Map.of(), "", 1);
  private static final double OWED_S = METER_GONE.kind().owed().withinS();

  private final SilentFault hazard = new SilentFault(SITE);
  private final Truth truth = new Truth();
  private double nowS;
  private boolean speaks = true;

  /** Lets time pass with a truth each tenth of a second and a heartbeat each second. */
  private SilentFaultTest pass(double seconds) {
    for (int i = 0; i < Math.round(seconds * 10); i++) {
      nowS += 0.1;
      truth.sample.at(micros());
      hazard.truth(truth);
      if (speaks && i % 10 == 0) {
        heartbeat();
      }
    }
    return this;
  }

  private long micros() {
    return Math.round(nowS * 1e6);
  }

  private void heartbeat() {
    hazard.told(
        micros(),
        new SupervisorTelemetry(
            1,
            micros(),
            Mode.GRID_PRESENT,
            ChargeStage.FLOAT,
            GridState.QUALIFIED,
            true,
            52,
            0.8,
            0.5,
            0,
            Authority.AUTO,
            "",
            0.5,
            "",
            false,
            1));
  }

  private SilentFaultTest fault(Fault fault, boolean on) {
    hazard.injected(micros(), fault, on);
    return this;
  }

  private SilentFaultTest rings(AlarmId id, AlarmState state) {
    hazard.alarmed(
        micros(),
        Device.SUPERVISOR,
        new Alarm(1, micros(), id, state, id.priority(), id.text(), id.consequence(), id.action()));
    return this;
  }

  private Finding end() {
    hazard.finish(micros());
    return hazard.finding();
  }

  private static Fault bias(double volts) {
    return new Fault(
        FaultKind.SENSOR_BIAS, "meter", "battery.voltage_V", Map.of("by", volts), "", 1);
  }

  @Test
  void anAlarmInTimeLeavesTheRestOfTheTime() {
    pass(10)
        .fault(METER_GONE, true)
        .pass(8)
        .rings(AlarmId.DEVICE_SILENT, AlarmState.UNACKNOWLEDGED);
    Finding finding = pass(60).end();
    assertFalse(finding.violated());
    assertEquals(OWED_S - 8, finding.margin(), 0.11);
  }

  @Test
  void anotherAlarmDoesNotTellOfIt() {
    pass(10).fault(METER_GONE, true).pass(8).rings(AlarmId.BATTERY_LOW, AlarmState.UNACKNOWLEDGED);
    Finding finding = pass(60).end();
    assertTrue(finding.violated());
    assertEquals(10 + OWED_S, finding.atMicros() / 1e6, 0.11);
    assertEquals(OWED_S - 68, finding.margin(), 0.11);
    assertTrue(finding.detail().contains("device-link-lost at meter"), finding.detail());
  }

  @Test
  void aFaultShorterThanWhatIsOwedOwesNothing() {
    pass(10).fault(METER_GONE, true).pass(OWED_S - 1).fault(METER_GONE, false);
    Finding finding = pass(60).end();
    assertFalse(finding.violated());
    assertEquals(1, finding.margin(), 0.11);
  }

  @Test
  void theSilenceOfASupervisorThatNobodyHearsIsNotOfThisFault() {
    pass(10).fault(METER_GONE, true).pass(5);
    speaks = false;
    pass(100);
    speaks = true;
    assertFalse(pass(5).end().violated());
    assertTrue(new SilentFaultTest().pass(10).fault(METER_GONE, true).pass(110).end().violated());
  }

  /** At 48 V the supervisor bears 2 %, 0.96 V; what matters is twice that. */
  @Test
  void aBiasMattersFromTwiceWhatTheSupervisorBears() {
    assertFalse(pass(10).fault(bias(1.9), true).pass(200).end().violated());
    assertTrue(new SilentFaultTest().pass(10).fault(bias(-2.0), true).pass(200).end().violated());
  }

  @Test
  void aDriftMattersOnceItHasGoneThatFar() {
    Fault drift =
        new Fault(
            FaultKind.SENSOR_DRIFT, "meter", "battery.voltage_V", Map.of("perHour", 36.0), "", 1);
    // 1.92 V after 192 s, and 90 s more until an alarm is owed.
    assertFalse(pass(10).fault(drift, true).pass(280).end().violated());
    assertTrue(new SilentFaultTest().pass(10).fault(drift, true).pass(284).end().violated());
  }

  @Test
  void whatNobodyElseMeasuresOwesNothing() {
    Fault power =
        new Fault(FaultKind.SENSOR_BIAS, "meter", "pcc.power_W", Map.of("by", 9_000.0), "", 1);
    assertFalse(pass(10).fault(power, true).pass(300).end().violated());
  }

  @Test
  void aSensorIsNotOwedWhileItsWitnessesMayBeWrongThemselves() {
    Fault regulator = new Fault(FaultKind.DEVICE_LINK_LOST, "regulator", "", Map.of(), "", 1);
    pass(10).fault(bias(5), true).fault(regulator, true);
    pass(5).rings(AlarmId.DEVICE_SILENT, AlarmState.UNACKNOWLEDGED);
    assertFalse(pass(200).end().violated());
  }

  @Test
  void aWeldedTieMattersWhenItShouldBeOpen() {
    Fault welded = new Fault(FaultKind.TIE_WELDED, "tie", "", Map.of(), "", 1);
    truth.utilitySourceLive = true;
    truth.contactClosed = true;
    pass(10).fault(welded, true).pass(300);
    truth.utilitySourceLive = false;
    pass(9);
    truth.contactClosed = false;
    assertFalse(pass(100).end().violated());
    truth.contactClosed = true;
    SilentFaultTest other = new SilentFaultTest();
    other.truth.contactClosed = true;
    assertTrue(other.pass(10).fault(welded, true).pass(11).end().violated());
  }

  @Test
  void anAlarmWhileNothingIsWrongIsFalse() {
    Finding finding =
        pass(10).rings(AlarmId.SENSORS_DISAGREE, AlarmState.UNACKNOWLEDGED).pass(10).end();
    assertTrue(finding.violated());
    assertEquals(10, finding.atMicros() / 1e6, 0.11);
  }

  @Test
  void aLowBatteryAndWhatFollowsADisturbanceAreNoFalseAlarms() {
    pass(10).rings(AlarmId.BATTERY_LOW, AlarmState.UNACKNOWLEDGED);
    hazard.astir();
    pass(10).rings(AlarmId.TIE_NOT_CLOSED, AlarmState.UNACKNOWLEDGED);
    assertFalse(pass(10).end().violated());
  }

  /** The whole way, from the script to the verdict: our own supervisor, and one that is mute. */
  @Test
  void aMuteSupervisorIsFoundOutInARun() {
    Event.Fault gone =
        new Event.Fault(
            60_000_000, FaultKind.DEVICE_LINK_LOST, "meter", "", Map.of(), "", 60_000_000);
    Scenario s = Rehearsals.happening(Rehearsals.scenario("winter-day"), List.of(gone), 180);
    assertEquals(
        RunResult.Outcome.PASS, Rehearsals.hazard(Rehearsals.run(s), SilentFault.ID).verdict());
    RunResult mute = Rehearsals.spoiled(s, (in, now, out) -> out.begin());
    assertEquals(RunResult.Outcome.FAIL, Rehearsals.hazard(mute, SilentFault.ID).verdict());
  }
}
