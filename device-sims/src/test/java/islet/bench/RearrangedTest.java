package islet.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.plug.Supervisors;
import islet.bench.plug.WireHabit;
import islet.bench.report.Report;
import islet.site.InputException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * One case at two arrangements of a site. Judged by the bytes that each of them leaves when it runs
 * alone, by the verdict's own figures, and by arithmetic on the scenario's times.
 */
class RearrangedTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final Path CHANGEOVER = CONFIG.resolve("sites/ferry-landing-changeover.yaml");
  private static final double OUTAGE_S = 3_600;

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  private static Scenario scenario(String name) {
    return read(CONFIG.resolve("scenarios/" + name + ".yaml"));
  }

  private static Scenario read(Path file) {
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  private static Map<String, byte[]> files(Judges judges) throws Exception {
    return RunFolder.files(judges.record("test"), Report::html);
  }

  /** Runs several sites on one clock over one broker, as a live run does, in virtual time. */
  private static List<Stage> together(List<Scenario> scenarios) {
    Scenario first = scenarios.get(0);
    VirtualTime time = new VirtualTime(first.startMicros());
    VirtualBroker broker = new VirtualBroker(time);
    List<Stage> stages = new ArrayList<>();
    for (Scenario scenario : scenarios) {
      Stage stage =
          new Stage(
              scenario,
              time,
              WireHabit.of(Supervisors.OWN, broker, scenario.site()),
              Stage.supervisor(Supervisors.OWN),
              new VirtualNetwork(broker));
      broker.tap(stage.wire());
      stages.add(stage);
    }
    stages.forEach(Stage::start);
    long end = first.startMicros() + first.durationMicros();
    time.runUntil(end);
    stages.forEach(stage -> stage.finish(end));
    return stages;
  }

  @Test
  @LongTest
  void anEveningBesideAnotherLeavesTheSameBytesAsAlone() throws Exception {
    assertLeavesTheSameBytesAsAlone(scenario("evening-outage"));
  }

  @Test
  void aRunBesideAnotherLeavesTheSameBytesAsAlone() throws Exception {
    assertLeavesTheSameBytesAsAlone(
        read(CONFIG.resolve("../device-sims/src/test/resources/islet/live/short-outage.yaml")));
  }

  private static void assertLeavesTheSameBytesAsAlone(Scenario first) throws Exception {
    Scenario other = Rearranged.of(first, CHANGEOVER).scenario();
    List<Scenario> both = new ArrayList<>(List.of(first, other));
    for (int order = 0; order < 2; order++) {
      List<Stage> stages = together(both);
      for (int i = 0; i < both.size(); i++) {
        Map<String, byte[]> alone = files(new Rehearsal(both.get(i)).run(micros -> {}));
        Map<String, byte[]> beside = files(stages.get(i).judges());
        assertNotEquals(Map.of(), alone);
        assertEquals(alone.keySet(), beside.keySet());
        for (String file : alone.keySet()) {
          assertArrayEquals(
              alone.get(file), beside.get(file), both.get(i).site().id() + ": " + file);
        }
      }
      Collections.reverse(both);
    }
  }

  @Test
  void theSameCaseIsReadBackFromWhatTheOtherSitesRunLeaves() {
    Scenario first = scenario("lesson-two-panel");
    Rearranged other = Rearranged.of(first, CHANGEOVER);
    assertEquals("changeover", other.arrangement());
    assertEquals(List.of(), other.leftOut());
    assertEquals(first.events(), other.scenario().events());
    assertEquals(first.seed(), other.scenario().seed());
    assertEquals(first.initialSoc(), other.scenario().initialSoc());
    // What is expected of two panels is no matter of one.
    assertNotEquals(List.of(), first.expect());
    assertEquals(List.of(), other.scenario().expect());
    String resolved = ResolvedScenario.write(other.scenario());
    assertTrue(resolved.contains("ferry-landing-changeover.yaml"), resolved);
  }

  @Test
  @LongTest
  void theBooksSoFarComeToTheVerdictsFiguresAndTheMainPanelIsDarkForAsLongAsTheOutage() {
    Scenario first = scenario("lesson-two-panel");
    for (Scenario scenario : List.of(first, Rearranged.of(first, CHANGEOVER).scenario())) {
      Stage stage = together(List.of(scenario)).get(0);
      Books books = stage.books();
      RunResult result = stage.judges().record("test").result();
      assertEntry(result.energy(), "pv_kWh", books.pvKWh());
      assertEntry(result.energy(), "curtailed_kWh", books.curtailedKWh());
      assertEntry(result.energy(), "import_kWh", books.importKWh());
      assertEntry(result.energy(), "export_kWh", books.exportKWh());
      assertEntry(result.energy(), "battery_in_kWh", books.batteryInKWh());
      assertEntry(result.energy(), "battery_out_kWh", books.batteryOutKWh());
      assertEntry(result.energy(), "stored_change_kWh", books.storedChangeKWh());
      assertEntry(result.energy(), "critical_kWh", books.criticalKWh());
      assertEntry(result.energy(), "noncritical_kWh", books.noncriticalKWh());
      assertEntry(result.energy(), "unserved_critical_kWh", books.unservedCriticalKWh());
      assertEntry(result.energy(), "unserved_noncritical_kWh", books.unservedNoncriticalKWh());
      assertEntry(result.cost(), "total_USD", books.cost());
      assertEquals(
          result.transitions().stream().filter(t -> t.to().equals("ISLANDED")).count(),
          books.toIsland());
      assertEquals(
          result.transitions().stream().filter(t -> t.to().equals("GRID_PRESENT")).count(),
          books.toUtility());
      // Upstream of the tie nothing lives in the outage; one panel has nothing upstream.
      boolean two = scenario.site().equals(first.site());
      assertEquals(two ? OUTAGE_S : 0, books.mainPanelDarkS(), 0.1);
      // Both supplies bridge the change-over within what the loads bear (ITIC: 20 ms), and the site
      // begins with its tie closed.
      assertTrue(books.panelDarkS() < 0.05, books.panelDarkS() + " s dark");
    }
  }

  private static void assertEntry(List<RunResult.Entry> entries, String name, double value) {
    double found =
        entries.stream().filter(e -> e.name().equals(name)).findFirst().orElseThrow().value();
    assertEquals(found, value, 1e-12, name);
  }

  private Path altered(String what, String by) throws Exception {
    String text = Files.readString(CHANGEOVER).replace("../", CONFIG + "/");
    assertTrue(text.contains(what), what);
    Path file = folder.resolve("altered.yaml");
    Files.writeString(file, text.replace(what, by));
    return file;
  }

  private static void refused(Path site, String field, String because) {
    Scenario first = scenario("evening-outage");
    InputException refusal =
        assertThrows(InputException.class, () -> Rearranged.of(first, site), because);
    String sentence = String.valueOf(refusal.getMessage());
    assertTrue(sentence.contains(" " + field + ": found "), sentence);
    assertTrue(sentence.contains(because), sentence);
  }

  @Test
  void whatMustBeTheSameAndIsNotIsRefusedWithASentence() throws Exception {
    refused(CONFIG.resolve("sites/ferry-landing.yaml"), "id", "an id of its own");
    refused(altered("latitude: 42.0 deg", "latitude: 43.0 deg"), "place", "the same place");
    refused(altered("constant: 60 W", "constant: 61 W"), "circuits", "radio");
    refused(altered("lineLoad: 30 kW", "lineLoad: 31 kW"), "utility", "export limit may differ");
    refused(altered("exportCredit: 0.08", "exportCredit: 0.09"), "tariff", "the same tariff");
  }

  @Test
  @LongTest
  void aSiteWithoutAUtilityRunsBesideOneInItsOutageAndFeelsNothingOfIt() throws Exception {
    Scenario first = scenario("lesson-two-panel");
    Rearranged alone = Rearranged.of(first, AloneLanding.write(folder));
    assertEquals(1, alone.leftOut().size());
    assertTrue(alone.leftOut().get(0).contains("an event of the utility"));
    List<Stage> stages = together(List.of(first, alone.scenario()));
    Books books = stages.get(1).books();
    assertEquals(0, books.importKWh());
    assertEquals(0, books.cost());
    assertEquals(0, books.sourcePu());
    assertEquals(stages.get(0).books().loadsWantW(), books.loadsWantW(), 1e-9);
    assertEquals(stages.get(0).books().sunWPerM2(), books.sunWPerM2(), 1e-9);
    // Full in June with the sun up, it carries everything, heating and kiosk too; but not before
    // its
    // inverter has started, which takes 2 s from cold.
    assertEquals(0, books.unservedNoncriticalKWh());
    assertTrue(books.panelDarkS() < 4, books.panelDarkS() + " s dark");
    assertTrue(stages.get(0).books().unservedNoncriticalKWh() > 0.1);
  }

  @Test
  void whatTheOtherSiteHasNoPartForIsLeftOutAndSaid() {
    Rearranged other = Rearranged.of(scenario("tie-welded"), CHANGEOVER);
    assertTrue(
        other.leftOut().isEmpty(), "a changeover switch can be welded as well: " + other.leftOut());
    Path noSwitch = CONFIG.resolve("sites/ferry-landing-charger-only.yaml");
    Rearranged without = Rearranged.of(scenario("tie-welded"), noSwitch);
    assertEquals(1, without.leftOut().size());
    assertTrue(without.leftOut().get(0).contains("tie-welded"), without.leftOut().get(0));
    assertTrue(
        without.scenario().events().stream().noneMatch(e -> e instanceof Event.Fault),
        "it was played all the same");
  }
}
