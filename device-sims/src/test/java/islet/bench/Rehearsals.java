package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.function.Function;

/** Rehearsals of the scenarios that ship, with our own supervisor or with one that is spoiled. */
final class Rehearsals {

  private static final Path SCENARIOS =
      Path.of(System.getProperty("islet.root"), "config/scenarios");

  private Rehearsals() {}

  /** A small wrong change to the orders of a good supervisor. */
  interface Spoiler {
    void spoil(Inputs in, long now, Outputs out);
  }

  static Scenario scenario(String name) {
    return ScenarioReader.read(SCENARIOS.resolve(name + ".yaml"), OptionalLong.empty());
  }

  static Scenario scenario(String name, long seed) {
    return ScenarioReader.read(SCENARIOS.resolve(name + ".yaml"), OptionalLong.of(seed));
  }

  /**
   * The same case with other things happening, for another time, and nothing but hazards to pass.
   */
  static Scenario happening(Scenario s, List<Event> events, double seconds) {
    return new Scenario(
        s.title(),
        s.file(),
        s.siteFile(),
        s.site(),
        s.settings(),
        s.startMicros(),
        Math.round(seconds * 1e6),
        s.seed(),
        s.weather(),
        s.initialSoc(),
        s.initialHealth(),
        s.tieClosed(),
        events,
        List.of(),
        s.waive(),
        s.traceStepS());
  }

  /** The same case with one thing more that happens. */
  static Scenario with(Scenario s, Event more) {
    List<Event> events = new ArrayList<>(s.events());
    events.add(more);
    return new Scenario(
        s.title(),
        s.file(),
        s.siteFile(),
        s.site(),
        s.settings(),
        s.startMicros(),
        s.durationMicros(),
        s.seed(),
        s.weather(),
        s.initialSoc(),
        s.initialHealth(),
        s.tieClosed(),
        events,
        s.expect(),
        s.waive(),
        s.traceStepS());
  }

  static RunResult run(Scenario scenario) {
    return run(scenario, SiteSupervisor::new);
  }

  static RunResult spoiled(Scenario scenario, Spoiler spoiler) {
    return run(
        scenario,
        site -> {
          Supervisor good = new SiteSupervisor(site);
          return (in, now, out) -> {
            good.scan(in, now, out);
            spoiler.spoil(in, now, out);
          };
        });
  }

  static RunResult run(Scenario scenario, Function<Site, Supervisor> supervisor) {
    return new Rehearsal(scenario, supervisor).run(micros -> {}).record("test").result();
  }

  /** What failed, in the words of the verdict; empty when the run passed. */
  static List<String> failures(RunResult result) {
    List<String> failures = new ArrayList<>();
    for (HazardVerdict hazard : result.hazards()) {
      if (hazard.verdict() == Outcome.FAIL) {
        failures.add(hazard.id());
      }
    }
    for (ExpectationVerdict expectation : result.expectations()) {
      if (expectation.verdict() == Outcome.FAIL) {
        failures.add(expectation.text());
      }
    }
    assertEquals(failures.isEmpty(), result.passed());
    return failures;
  }

  static HazardVerdict hazard(RunResult result, String id) {
    return result.hazards().stream().filter(h -> h.id().equals(id)).findFirst().orElseThrow();
  }
}
