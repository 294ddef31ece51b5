package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.Outcome;
import islet.contract.Device;
import islet.contract.Event;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Expectations of a run of 100 s that was stopped before its end. Judged by plain sense: what time
 * could still have changed is not judged, what it could not is.
 */
class EarlyEndTest {

  private static final long START = 1_768_424_400_000_000L;
  private static final long END_MICROS = 100_000_000;

  private final Expectations expectations =
      new Expectations(
          List.of(
              new Expectation.Becomes(
                  "met", "inverter.state", "OFF", 20_000_000, 10_000_000, END_MICROS),
              new Expectation.Becomes(
                  "missed", "inverter.state", "FORMING", 20_000_000, 10_000_000, END_MICROS),
              new Expectation.Becomes(
                  "open", "inverter.state", "FORMING", 60_000_000, 10_000_000, END_MICROS),
              new Expectation.Bound(
                  "kept", "battery.soc", Expectation.Side.ABOVE, 0.5, 0, 0, END_MICROS),
              new Expectation.Bound(
                  "broken", "battery.soc", Expectation.Side.ABOVE, 0.9, 0, 0, END_MICROS),
              new Expectation.Bound(
                  "not begun",
                  "battery.soc",
                  Expectation.Side.ABOVE,
                  0.9,
                  0,
                  60_000_000,
                  END_MICROS),
              new Expectation.Transitions("half", List.of("A", "B", "C"), 0, END_MICROS),
              new Expectation.Transition("left", "A", "B", 0, 20_000_000, 10_000_000, END_MICROS),
              new Expectation.Transition(
                  "not left", "B", "C", 0, 60_000_000, 10_000_000, END_MICROS),
              new Expectation.Alarm("quiet", "tie-not-open", 60_000_000, 0, END_MICROS)),
          START);

  private List<String> stoppedAt(double seconds) {
    Truth truth = new Truth();
    truth.sample.set(Signal.BATTERY_SOC, 0.8);
    truth.sample.at(START);
    expectations.truth(truth);
    expectations.happened(
        START + 15_000_000, Device.SUPERVISOR, new Event(0, 0, "mode", "A", "B", ""));
    long end = START + Math.round(seconds * 1e6);
    truth.sample.at(end);
    expectations.truth(truth);
    expectations.finish(end);
    return expectations.verdicts().stream().map(EarlyEndTest::shown).toList();
  }

  private static String shown(ExpectationVerdict verdict) {
    return verdict.text() + (verdict.verdict() == Outcome.PASS ? ": pass" : ": fail");
  }

  @Test
  void onlyWhatHadItsTimeIsJudged() {
    assertEquals(
        List.of("met: pass", "missed: fail", "kept: pass", "broken: fail", "left: pass"),
        stoppedAt(50));
  }

  @Test
  void aRunToItsEndLeavesNothingOpen() {
    assertEquals(
        List.of(
            "met: pass",
            "missed: fail",
            "open: fail",
            "kept: pass",
            "broken: fail",
            "not begun: fail",
            "half: fail",
            "left: pass",
            "not left: fail",
            "quiet: fail"),
        stoppedAt(100));
  }
}
