package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.EventLog.Row;
import islet.site.InputException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The utility's signals as a scenario gives them. Judged by what a person reads in its line, on the
 * trace of the utility's own voltage and frequency, and by the service's divider.
 */
class UtilitySignalsTest {
  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final long SECOND = 1_000_000;
  private static final long AT = 5 * SECOND;

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  private Scenario read(String utility) throws IOException {
    Path file = folder.resolve("case.yaml");
    Files.writeString(
        file,
        """
        title: A signal of the utility
        site: SITE
        settings: { supervision.onSag: ride-through }
        start: 2026-06-25T12:00
        duration: PT60S
        seed: 7
        weather: { constant: { ghi: 0 W/m2, temperature: 20 degC } }
        battery: { soc: 0.9 }
        traceStep: PT0.05S
        events: [{ at: PT5S, utility: { UTILITY } }]
        """
            .replace("SITE", ROOT.resolve("config/sites/ferry-landing.yaml").toString())
            .replace("UTILITY", utility));
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  private RunRecord run(String utility) throws IOException {
    return new Rehearsal(read(utility)).run(micros -> {}).record("test");
  }

  /** A signal at the last row not later than so many microseconds after the start. */
  private static double at(RunRecord run, Signal signal, long micros) {
    Trace trace = run.trace();
    int row = 0;
    while (row + 1 < trace.rows() && trace.micros(row + 1) - trace.micros(0) <= micros) {
      row++;
    }
    return trace.value(row, signal);
  }

  @Test
  void eachIsReadAsWrittenAndComesBackFromTheResolvedScenario() throws IOException {
    String[] texts = {
      "outage: PT3S, returnAngle: 120 deg",
      "outage: PT3S, matchedLoad: 95 %, qualityFactor: 2.5, imbalance: -0.02",
      "outage: PT3S, matchedLoad: 1",
      "reclose: [PT0.5S, PT0.3S, PT15S]",
      "brownOut: 80 %, fall: PT10S, for: PT5S, rise: PT20S",
      "frequencyRamp: 61 Hz, rate: 500 mHz/s, for: PT3S",
    };
    Event[] events = {
      new Event.Outage(AT, 3 * SECOND, 120, Optional.empty()),
      new Event.Outage(AT, 3 * SECOND, 0, Optional.of(new Event.Match(0.95, 2.5, -0.02))),
      new Event.Outage(AT, 3 * SECOND, 0, Optional.of(new Event.Match(1, 1, 0))),
      new Event.Reclose(AT, List.of(500_000L, 300_000L, 15 * SECOND)),
      new Event.BrownOut(AT, 0.8, 10 * SECOND, 5 * SECOND, 20 * SECOND),
      new Event.FrequencyRamp(AT, 61, 0.5, 3 * SECOND),
    };
    for (int i = 0; i < texts.length; i++) {
      Scenario scenario = read(texts[i]);
      assertEquals(List.of(events[i]), scenario.events());
      Path again = folder.resolve("again.yaml");
      Files.writeString(again, ResolvedScenario.write(scenario));
      assertEquals(scenario.events(), ScenarioReader.read(again, OptionalLong.empty()).events());
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          reclose: [PT1S, PT1S] | reclose: found "[PT1S, PT1S]"; allowed is an odd number of durations: off, on, off and so on, ending with off.
          reclose: [PT1S, 2 s, PT1S] | reclose: found "2 s"; allowed is an ISO 8601 duration
          brownOut: 0.8, fall: PT1S, for: PT1S | rise: found nothing; allowed is an ISO 8601 duration
          frequencyRamp: 61 Hz, rate: 0 Hz/s, for: PT1S | rate: found "0 Hz/s"; allowed is 0.001 Hz/s to 100 Hz/s. Above 0, both ways.
          frequencyRamp: 61 Hz, rate: 1 Hz, for: PT1S | rate: found "1 Hz"; allowed is 0.001 Hz/s to 100 Hz/s, as a number with a unit out of Hz/s, mHz/s.
          outage: PT1S, returnAngle: 200 deg | returnAngle: found "200 deg"; allowed is -180 deg to 180 deg.
          outage: PT1S, qualityFactor: 1 | qualityFactor: found an unknown field
          sag: 0.5, for: PT1S, matchedLoad: 1 | matchedLoad: found an unknown field
          """)
  void tellsWhatIsWrong(String utility, String sentence) {
    InputException e = assertThrows(InputException.class, () -> read(utility));
    String message = String.valueOf(e.getMessage());
    assertTrue(message.contains(":10: events.1.utility." + sentence), message);
  }

  @Test
  void aBrownOutSinksStaysAndComesBackInStraightLines() throws IOException {
    RunRecord run = run("brownOut: 0.9, fall: PT10S, for: PT5S, rise: PT20S");
    double[] seconds = {4.9, 10, 12.5, 15.1, 19.9, 30, 40.1};
    double[] pu = {1, 0.95, 0.925, 0.9, 0.9, 0.95, 1};
    for (int i = 0; i < seconds.length; i++) {
      long micros = Math.round(seconds[i] * SECOND);
      assertEquals(pu[i], at(run, Signal.UTILITY_VOLTAGE, micros), 0.002, seconds[i] + " s");
    }
  }

  @Test
  void aFrequencyRampMovesAtItsRateBothWays() throws IOException {
    RunRecord run = run("frequencyRamp: 61 Hz, rate: 0.1 Hz/s, for: PT5S");
    double[] seconds = {4.9, 10, 15.1, 19.9, 25, 30.1};
    double[] hz = {60, 60.5, 61, 61, 60.5, 60};
    for (int i = 0; i < seconds.length; i++) {
      long micros = Math.round(seconds[i] * SECOND);
      assertEquals(hz[i], at(run, Signal.UTILITY_FREQUENCY, micros), 0.01, seconds[i] + " s");
    }
  }

  @Test
  void aBreakerUpstreamOpensAndClosesInTheTimesOfItsList() throws IOException {
    RunRecord run = run("reclose: [PT0.5S, PT0.3S, PT15S]");
    double[] seconds = {4.95, 5.05, 5.45, 5.55, 5.75, 5.85, 20.75, 20.85};
    boolean[] live = {true, false, false, true, true, false, false, true};
    for (int i = 0; i < seconds.length; i++) {
      long micros = Math.round(seconds[i] * SECOND);
      assertEquals(live[i] ? 1 : 0, at(run, Signal.UTILITY_LIVE, micros), seconds[i] + " s");
    }
  }

  /** The site draws about a hundred watts here, so that the service's drop is below 1 V in 240. */
  @ParameterizedTest
  @CsvSource({
    "'sag: 0.95, for: PT2S', 0.95, 60",
    "'swell: 105 %, for: PT2S', 1.05, 60",
    "'frequency: 60.9 Hz, for: PT2S', 1, 60.9",
    "'frequency: 59.1 Hz, for: PT2S', 1, 59.1",
  })
  void aStepOfVoltageOrFrequencyBeginsAndEndsOnItsInstants(String utility, double pu, double hz)
      throws IOException {
    RunRecord run = run(utility);
    for (double seconds : new double[] {4.999, 5, 6.999, 7}) {
      boolean during = seconds >= 5 && seconds < 7;
      long micros = Math.round(seconds * SECOND);
      assertEquals(during ? pu : 1, at(run, Signal.MAIN_VOLTAGE, micros), 0.004);
      assertEquals(during ? hz : 60, at(run, Signal.UTILITY_FREQUENCY, micros), 1e-9);
    }
  }

  @Test
  void aSagToNothingIsAShortThatTheTieLeavesAsItLeavesAnOutage() throws IOException {
    RunRecord run = run("sag: 0, for: PT2S");
    assertEquals(1, at(run, Signal.UTILITY_LIVE, AT + SECOND), "the source is there");
    assertEquals(0, at(run, Signal.MAIN_VOLTAGE, AT + SECOND));
    assertEquals(0, at(run, Signal.TIE_CLOSED, AT + SECOND));
    assertEquals(1, at(run, Signal.CRITICAL_VOLTAGE, AT + SECOND), 0.01);
    assertTrue(run.result().passed());
  }

  @Test
  void aUtilityThatReturnsOutOfPhaseIsToldAtTheInstantOfItsReturn() throws IOException {
    List<Row> jumps =
        run("outage: PT3S, returnAngle: 120 deg").events().rows().stream()
            .filter(r -> r.source().equals("utility") && r.kind().equals("angle"))
            .toList();
    assertEquals(1, jumps.size());
    assertEquals("120°", jumps.get(0).to());
  }
}
