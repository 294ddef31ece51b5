package islet.bench.defect;

import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.plug.Supervisors;
import islet.plant.DataFiles;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;

/**
 * What came of one scenario, run with a planted defect and without.
 *
 * @param planted what was tried
 * @param title the scenario's
 * @param spoilt the run with the defect
 * @param sound the same run with Islet's own supervisor
 */
public record PlantedTrial(Planted.Case planted, String title, RunResult spoilt, RunResult sound) {

  /**
   * Runs all of a list, and each scenario once more without any defect.
   *
   * @throws islet.site.InputException when a scenario cannot be read
   */
  public static List<PlantedTrial> all(Planted planted) {
    DataFiles files = new DataFiles();
    Map<Path, Scenario> scenarios = new HashMap<>();
    Map<Path, RunResult> sound = new HashMap<>();
    List<PlantedTrial> trials = new ArrayList<>();
    for (Planted.Case one : planted.cases()) {
      Scenario scenario =
          scenarios.computeIfAbsent(
              one.scenario(), file -> ScenarioReader.read(file, OptionalLong.empty()));
      trials.add(
          new PlantedTrial(
              one,
              scenario.title(),
              result(new Rehearsal(scenario, one.defect(), files)),
              sound.computeIfAbsent(
                  one.scenario(),
                  file -> result(new Rehearsal(scenario, Supervisors.OWN, files)))));
    }
    return trials;
  }

  private static RunResult result(Rehearsal rehearsal) {
    return rehearsal.run(done -> {}).record("").result();
  }

  /** What the named hazard says of the run with the defect. */
  public HazardVerdict verdict() {
    return hazard(spoilt);
  }

  /** What it says of the run without. */
  public HazardVerdict soundVerdict() {
    return hazard(sound);
  }

  private HazardVerdict hazard(RunResult result) {
    return result.hazards().stream()
        .filter(h -> h.id().equals(planted.hazard()))
        .findFirst()
        .orElseThrow();
  }

  /** Whether the named hazard has caught the defect. */
  public boolean caught() {
    return verdict().verdict() == Outcome.FAIL;
  }

  /** The hazards that Islet's own supervisor runs into, with what they say; empty for none. */
  public List<String> unsound() {
    return sound.hazards().stream()
        .filter(h -> h.verdict() != Outcome.PASS)
        .map(h -> h.id() + ": " + h.detail())
        .toList();
  }
}
