package islet.bench.defect;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Hazards;
import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.control.SupervisorMaker;
import islet.site.InputException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * The hazards judged by supervisors that are wrong on purpose, and by the one that ships, in the
 * same scenarios. A hazard judges by the plant's truth and the wire, and knows of neither.
 */
class PlantedDefectsTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final Planted PLANTED = Planted.read(CONFIG.resolve("campaigns/planted.yaml"));

  private static List<PlantedTrial> trials = List.of();

  @BeforeAll
  static void runAll() {
    trials = PlantedTrial.all(PLANTED);
  }

  @Test
  void theNamedHazardCatchesEachDefect() {
    List<String> missed =
        trials.stream()
            .filter(trial -> !trial.caught())
            .map(trial -> trial.planted().defect().id() + ": " + trial.verdict().detail())
            .toList();
    assertEquals(List.of(), missed);
  }

  @Test
  void theSupervisorThatShipsPassesTheSameScenarios() {
    Set<String> failures = new TreeSet<>();
    for (PlantedTrial trial : trials) {
      trial.unsound().forEach(failure -> failures.add(trial.planted().scenario() + ": " + failure));
      trial.sound().expectations().stream()
          .filter(expectation -> expectation.verdict() != RunResult.Outcome.PASS)
          .forEach(e -> failures.add(trial.planted().scenario() + ": " + e.text()));
    }
    assertEquals(Set.of(), failures);
  }

  @Test
  void everyHazardIsTrippedByADefect() {
    Set<String> tripped = new HashSet<>();
    trials.stream().filter(PlantedTrial::caught).forEach(t -> tripped.add(t.planted().hazard()));
    Set<String> untrusted = new TreeSet<>(Hazards.IDS);
    untrusted.removeAll(tripped);
    assertEquals(Set.of(), untrusted);
  }

  @Test
  void everyDefectIsPlanted() {
    List<String> planted =
        PLANTED.cases().stream().map(one -> one.defect().id()).distinct().sorted().toList();
    assertEquals(Defects.ids().stream().sorted().toList(), planted);
  }

  @Test
  void everyScenarioOfThemIsPlanted() throws Exception {
    Set<String> used = new TreeSet<>();
    PLANTED.cases().forEach(one -> used.add(String.valueOf(one.scenario().getFileName())));
    try (Stream<Path> files = Files.list(CONFIG.resolve("campaigns/planted"))) {
      List<String> there = files.map(file -> String.valueOf(file.getFileName())).sorted().toList();
      assertEquals(List.copyOf(used), there);
    }
  }

  @Test
  void eachHasANameOfItsOwnAndSaysWhatIsWrong() {
    assertEquals(Defects.ids().size(), new HashSet<>(Defects.ids()).size());
    Set<String> wrong = new HashSet<>();
    for (Defect defect : Defects.all()) {
      assertTrue(defect.id().matches("[a-z][a-z0-9]*(-[a-z0-9]+)*"), defect.id());
      assertTrue(defect.wrong().endsWith(".") && wrong.add(defect.wrong()), defect.id());
      assertEquals(defect, Defects.named("defect:" + defect.id()));
    }
  }

  @Test
  void anUnknownNameIsAnsweredWithTheNearest() {
    InputException unknown =
        assertThrows(InputException.class, () -> Defects.named("defect:no-island-permits"));
    assertTrue(
        String.valueOf(unknown.getMessage()).contains("Did you mean \"no-island-permit\"?"),
        unknown.getMessage());
  }

  /** Else a margin would tell of the way in which defects are made, and not of the defect. */
  @Test
  void honestEyesAndHandsChangeNothing() {
    SupervisorMaker honest =
        new Defect("honest", "", "", Defect.Part.AUTHORITY, SpoiltSupervisor.seeing(Eyes::new));
    List<String> differences = new ArrayList<>();
    for (String name : List.of("welded-tie", "dip-in-delay", "noon-window", "before-export")) {
      Path file = CONFIG.resolve("campaigns/planted/" + name + ".yaml");
      Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
      RunResult sound =
          trials.stream()
              .filter(trial -> trial.planted().scenario().equals(file))
              .findFirst()
              .orElseThrow()
              .sound();
      RunResult same = new Rehearsal(scenario, honest).run(done -> {}).record("").result();
      if (!same.hazards().equals(sound.hazards())
          || !same.transitions().equals(sound.transitions())
          || !same.energy().equals(sound.energy())
          || !same.alarms().equals(sound.alarms())) {
        differences.add(scenario.title());
      }
    }
    assertEquals(List.of(), differences);
  }
}
