package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.Outcome;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Device;
import islet.contract.Event;
import islet.contract.InverterState;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by what the scenario format says of each form, on short runs made by hand. */
class ExpectationsTest {

  private static final long START = 1_768_424_400_000_000L;

  private final Truth truth = new Truth();

  private static long us(double seconds) {
    return Math.round(seconds * 1e6);
  }

  private void at(Expectations expectations, double seconds) {
    truth.sample.at(START + us(seconds));
    expectations.truth(truth);
  }

  private static void mode(Expectations expectations, double seconds, String from, String to) {
    expectations.happened(
        START + us(seconds), Device.SUPERVISOR, new Event(0, 0, "mode", from, to, ""));
  }

  private static ExpectationVerdict verdict(Expectations expectations, double end) {
    expectations.finish(START + us(end));
    return expectations.verdicts().get(0);
  }

  private static Expectations of(Expectation expectation) {
    return new Expectations(List.of(expectation), START);
  }

  private static void came(
      ExpectationVerdict verdict, Outcome outcome, double margin, String unit, double at) {
    assertEquals(outcome, verdict.verdict());
    assertEquals(margin, verdict.margin(), 1e-9);
    assertEquals(unit, verdict.unit());
    assertEquals(at, verdict.atSeconds(), 1e-9);
  }

  private static Expectations forms(double within) {
    return of(
        new Expectation.Becomes("t", "inverter.state", "FORMING", us(within), us(10), us(100)));
  }

  private ExpectationVerdict formsAt(Expectations forms, double seconds) {
    truth.sample.set(Signal.INVERTER_STATE, InverterState.FOLLOWING);
    at(forms, 0);
    truth.sample.set(Signal.INVERTER_STATE, InverterState.FORMING);
    at(forms, seconds);
    at(forms, seconds + 30);
    return verdict(forms, 100);
  }

  @Test
  void aSignalThatTurnsInTimePassesWithTheTimeLeft() {
    came(formsAt(forms(1), 10.3), Outcome.PASS, 0.7, "s", 10.3);
  }

  @Test
  void aSignalThatTurnsLateFailsByHowLate() {
    came(formsAt(forms(1), 13), Outcome.FAIL, -2, "s", 13);
  }

  @Test
  void aSignalThatHeldBeforeHoldsAtOnce() {
    came(formsAt(forms(1), 5), Outcome.PASS, 1, "s", 10);
  }

  @Test
  void aSignalThatNeverTurnsFailsAtTheEnd() {
    Expectations forms = forms(1);
    truth.sample.set(Signal.INVERTER_STATE, InverterState.FOLLOWING);
    at(forms, 0);
    came(verdict(forms, 100), Outcome.FAIL, -89, "s", -1);
  }

  @Test
  void aSignalMayStrayForAsLongAsAllowed() {
    for (double astray : new double[] {0.4, 0.6}) {
      Expectations live =
          of(new Expectation.Stays("t", "utility.live", "true", us(0.5), us(0), us(100)));
      truth.sample.set(Signal.UTILITY_LIVE, true);
      at(live, 0);
      truth.sample.set(Signal.UTILITY_LIVE, false);
      at(live, 20);
      truth.sample.set(Signal.UTILITY_LIVE, true);
      at(live, 20 + astray);
      if (astray < 0.5) {
        came(verdict(live, 100), Outcome.PASS, 0.1, "s", 20.4);
      } else {
        came(verdict(live, 100), Outcome.FAIL, -0.1, "s", 20.5);
      }
    }
  }

  private Expectations voltage(double allowing, double after, double until) {
    Expectations voltage =
        of(
            new Expectation.Bound(
                "t",
                "critical.voltage_pu",
                Expectation.Side.ABOVE,
                0.9,
                us(allowing),
                us(after),
                us(until)));
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 1.02);
    at(voltage, 0);
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0);
    at(voltage, 20);
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0.97);
    at(voltage, 20.016);
    return voltage;
  }

  @Test
  void aDipShorterThanAllowedDoesNotCount() {
    ExpectationVerdict verdict = verdict(voltage(0.02, 0, 100), 100);
    assertEquals(Outcome.PASS, verdict.verdict());
    assertEquals(0.07, verdict.margin(), 1e-9);
    assertEquals("pu", verdict.unit());
  }

  @Test
  void aDipLongerThanAllowedFailsByItsDepthAtTheInstantItPassedTheAllowance() {
    came(verdict(voltage(0.01, 0, 100), 100), Outcome.FAIL, -0.9, "pu", 20.01);
  }

  @Test
  void whatHappensOutsideTheStretchDoesNotCount() {
    came(verdict(voltage(0, 30, 100), 100), Outcome.PASS, 0.97 - 0.9, "pu", 30);
    came(verdict(voltage(0, 0, 15), 100), Outcome.PASS, 1.02 - 0.9, "pu", 0);
  }

  @Test
  void anAllowanceLongerThanTheStretchStillWantsTheSignalRightOnce() {
    Expectations voltage =
        of(
            new Expectation.Bound(
                "t", "critical.voltage_pu", Expectation.Side.ABOVE, 0.9, us(500), 0, us(100)));
    truth.sample.set(Signal.CRITICAL_VOLTAGE, 0.5);
    at(voltage, 0);
    assertEquals(Outcome.FAIL, verdict(voltage, 100).verdict());
  }

  private static Expectations goesThrough(String... modes) {
    Expectations through = of(new Expectation.Transitions("t", List.of(modes), 0, us(100)));
    mode(through, 1, "STARTING", "GRID_PRESENT");
    mode(through, 20, "GRID_PRESENT", "ISLANDING");
    mode(through, 20.2, "ISLANDING", "ISLANDED");
    return through;
  }

  @Test
  void theModesMustBeTheseInThisOrder() {
    came(
        verdict(goesThrough("GRID_PRESENT", "ISLANDING", "ISLANDED"), 100),
        Outcome.PASS,
        0,
        "modes",
        20.2);
    came(
        verdict(goesThrough("STARTING", "GRID_PRESENT", "ISLANDING", "ISLANDED"), 100),
        Outcome.PASS,
        0,
        "modes",
        20.2);
  }

  @Test
  void aModeTooManyTooFewOrAnotherFails() {
    came(verdict(goesThrough("GRID_PRESENT", "ISLANDING"), 100), Outcome.FAIL, -1, "modes", 20.2);
    came(
        verdict(goesThrough("GRID_PRESENT", "ISLANDING", "ISLANDED", "DARK"), 100),
        Outcome.FAIL,
        -1,
        "modes",
        -1);
    came(
        verdict(goesThrough("GRID_PRESENT", "ISLANDING", "DARK"), 100),
        Outcome.FAIL,
        -1,
        "modes",
        20.2);
  }

  private static ExpectationVerdict returned(double at) {
    Expectations returns =
        of(
            new Expectation.Transition(
                "t", "ISLANDED", "RECONNECTING", us(300), us(900), us(1000), us(5000)));
    mode(returns, 500, "ISLANDED", "RECONNECTING");
    mode(returns, at, "ISLANDED", "RECONNECTING");
    return verdict(returns, 5000);
  }

  @Test
  void aTransitionMayComeNeitherTooEarlyNorTooLate() {
    came(returned(1299), Outcome.FAIL, -1, "s", 1299);
    came(returned(1310), Outcome.PASS, 10, "s", 1310);
    came(returned(1895), Outcome.PASS, 5, "s", 1895);
    came(returned(1901), Outcome.FAIL, -1, "s", 1901);
  }

  @Test
  void aTransitionThatNeverComesFails() {
    assertEquals(Outcome.FAIL, returned(900).verdict());
  }

  private static ExpectationVerdict alarmAt(double seconds, AlarmId id) {
    Expectations alarm = of(new Expectation.Alarm("t", "tie-not-open", us(5), us(10), us(100)));
    alarm.alarmed(
        START + us(seconds),
        Device.SUPERVISOR,
        new Alarm(
            0,
            0,
            id,
            AlarmState.UNACKNOWLEDGED,
            id.priority(),
            id.text(),
            id.consequence(),
            id.action()));
    return verdict(alarm, 100);
  }

  @Test
  void anAlarmMustBeThatOneAndInTime() {
    came(alarmAt(11, AlarmId.TIE_NOT_OPEN), Outcome.PASS, 4, "s", 11);
    came(alarmAt(16, AlarmId.TIE_NOT_OPEN), Outcome.FAIL, -1, "s", 16);
    came(alarmAt(11, AlarmId.BATTERY_LOW), Outcome.FAIL, -85, "s", -1);
  }
}
