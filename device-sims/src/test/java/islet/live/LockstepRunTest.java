package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.contract.Event;
import islet.contract.Kind;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.OptionalLong;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A controller at the other end of a real broker, in lockstep. Judged by a rehearsal of the same
 * scenario, whose supervisor is the same logic with no network in between; and, where a controller
 * does not play by the rules, by what is promised to its writer: a sentence that says what was
 * found, and a run that goes on to its end without it.
 */
@Timeout(120)
@Tag("apart")
class LockstepRunTest {

  private static final Path OUTAGE =
      Path.of(
          System.getProperty("islet.root"),
          "device-sims/src/test/resources/islet/live/lockstep.yaml");
  private static final Duration SOON = Duration.ofSeconds(20);
  private static final Duration IMPATIENT = Duration.ofMillis(600);

  private static EmbeddedBroker broker;

  @TempDir private Path disk = Path.of("");

  @BeforeAll
  static void start() throws SurroundingsException {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stop() {
    new Thread(broker::close).start(); // takes seconds, in which others may go on
  }

  @Test
  void theRunFolderIsTheRehearsalsByteForByte() throws Exception {
    Scenario scenario = ScenarioReader.read(OUTAGE, OptionalLong.empty());
    assertEquals(List.of(), LockstepTrial.differences(scenario, broker, disk));
    // Which is worth something, since this much has happened in it.
    RunResult rehearsed = new Rehearsal(scenario).run(micros -> {}).record("test").result();
    assertTrue(rehearsed.passed(), rehearsed.expectations().toString());
    assertEquals(
        List.of("GRID_PRESENT", "ISLANDING", "ISLANDED", "RECONNECTING", "GRID_PRESENT"),
        rehearsed.transitions().stream().map(RunResult.Transition::to).toList());
  }

  @Test
  void faultsOfTheSupervisorsLinkBiteAsInARehearsal() throws Exception {
    String text =
        Files.readString(OUTAGE)
            .replace(
                "  - { at: PT10S, utility: { outage: PT15S } }",
                """
                  - { at: PT8S, fault: { kind: supervisor-link-lost }, for: PT12S }
                  - { at: PT10S, utility: { outage: PT50S } }
                  - { at: PT25S, fault: { kind: supervisor-pause }, for: PT12S }\
                """)
            .replace("../../../../../../", System.getProperty("islet.root") + "/")
            .replace("../../device-sims", System.getProperty("islet.root") + "/device-sims")
            .replaceAll("(?s)expect:.*", "");
    Path file = disk.resolve("cut.yaml");
    Files.writeString(file, text);
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    RunResult rehearsed = new Rehearsal(scenario).run(micros -> {}).record("test").result();
    RunResult inStep = LockstepTrial.inStep(scenario, broker).result();
    assertEquals(
        rehearsed.hazards().stream().map(RunResult.HazardVerdict::verdict).toList(),
        inStep.hazards().stream().map(RunResult.HazardVerdict::verdict).toList());
    assertEquals(
        rehearsed.transitions().stream().map(RunResult.Transition::to).toList(),
        inStep.transitions().stream().map(RunResult.Transition::to).toList());
    assertFalse(rehearsed.transitions().isEmpty());
  }

  /** What is said of a controller that does something else at the fifth simulated second. */
  private String failureOf(Stub.Turn turn) throws Exception {
    Scenario scenario = ScenarioReader.read(OUTAGE, OptionalLong.empty());
    try (PahoBroker there = new PahoBroker(broker.url(), PahoSettings.USUAL);
        PahoBroker here = new PahoBroker(broker.url(), PahoSettings.USUAL);
        Stub stub = new Stub(there, scenario.site().id(), 5, turn);
        LockstepRun run = new LockstepRun(scenario, here, IMPATIENT)) {
      assertEquals("stub", run.awaitController(SOON).orElseThrow());
      assertTrue(stub.begun());
      RunResult result = run.run(micros -> {}).record("test").result();
      // The devices' own protection plays on to the end, and the verdict is a failure.
      assertEquals(60, result.simulatedSeconds(), 0);
      assertFalse(result.passed());
      RunResult.ExpectationVerdict first = result.expectations().get(0);
      assertEquals("the supervisor scans to the end", first.text());
      assertEquals(Outcome.FAIL, first.verdict());
      assertEquals(5, first.atSeconds(), 1.001);
      assertTrue(result.cautions().get(0).contains(run.failure()), result.cautions().toString());
      return run.failure();
    }
  }

  @Test
  void whoHangsIsGivenUpAndTheSentenceSaysWhatItMayWaitFor() throws Exception {
    String sentence = failureOf((stub, step) -> {});
    assertTrue(sentence.startsWith("it has not answered step "), sentence);
    assertTrue(sentence.contains("within 0.6 s"), sentence);
    assertTrue(sentence.contains("subscribe with QoS 1"), sentence);
  }

  @Test
  void whoLeavesIsNotWaitedFor() throws Exception {
    assertEquals("it has left the broker", failureOf((stub, step) -> stub.leave()));
  }

  @Test
  void aMessageThatIsLostOnItsWayIsNoticed() throws Exception {
    String sentence = failureOf((stub, step) -> stub.answer(step, 1));
    assertTrue(
        sentence.startsWith("it said that it has sent 1 messages, and 0 have come"), sentence);
  }

  @Test
  void whoSaysMoreThanHeCountsIsToldSo() throws Exception {
    String sentence =
        failureOf(
            (stub, step) -> {
              stub.say(Kind.EVENT, Event.LAYOUT.encode(new Event(0, 0, "note", "", "", "")));
              stub.answer(step, 0);
            });
    // The surplus may come before the answer or, as MQTT orders within a topic only, behind it.
    assertTrue(
        sentence.contains("has sent 0 messages, and 1 have come")
            || sentence.startsWith("it spoke out of turn"),
        sentence);
  }

  @Test
  void anAnswerToAnotherStepOrOneThatCannotBeReadIsToldInWords() throws Exception {
    String other =
        failureOf((stub, step) -> stub.say(Kind.SCANNED, stub.scanned(step.seq() - 1, 0)));
    assertTrue(other.matches("it answered step \\d+; asked was step \\d+"), other);
    String unreadable =
        failureOf(
            (stub, step) -> stub.say(Kind.SCANNED, "{\"step\":".getBytes(StandardCharsets.UTF_8)));
    assertTrue(unreadable.startsWith("its answer to a SCAN cannot be read: "), unreadable);
  }

  @Test
  void whatOfTheControllersMessagesCannotBeReadIsToldWithTopicAndReason() throws Exception {
    byte[] nothing = "{}".getBytes(StandardCharsets.UTF_8);
    Scenario scenario = ScenarioReader.read(OUTAGE, OptionalLong.empty());
    try (PahoBroker there = new PahoBroker(broker.url(), PahoSettings.USUAL);
        PahoBroker here = new PahoBroker(broker.url(), PahoSettings.USUAL);
        Stub stub =
            new Stub(
                there,
                scenario.site().id(),
                59,
                (self, step) -> {
                  self.say(Kind.TELEMETRY, nothing);
                  self.answer(step, 1);
                });
        LockstepRun run = new LockstepRun(scenario, here, SOON)) {
      assertTrue(run.awaitController(SOON).isPresent());
      assertTrue(stub.begun());
      run.run(micros -> {});
      assertTrue(
          run.unreadable()
              .startsWith(
                  "1 messages on the wire could not be read, the first on"
                      + " islet/v1/ferry-landing/supervisor/telemetry: "),
          run.unreadable());
    }
  }

  @Test
  void whenNobodyAnswersTheBenchSaysWhatItWaitedFor() throws Exception {
    Scenario scenario = ScenarioReader.read(OUTAGE, OptionalLong.empty());
    try (PahoBroker here = new PahoBroker(broker.url(), PahoSettings.USUAL);
        LockstepRun run = new LockstepRun(scenario, here, SOON)) {
      SurroundingsException nobody =
          assertThrows(
              SurroundingsException.class, () -> run.awaitController(Duration.ofMillis(1)));
      String sentence = String.valueOf(nobody.getMessage());
      assertTrue(sentence.contains("islet/v1/ferry-landing/bench/step"), sentence);
      assertTrue(sentence.contains("islet/v1/ferry-landing/supervisor/scanned"), sentence);
    }
  }

  @Test
  void whenTheBenchItselfLosesItsLinkThereIsNoVerdict() throws Exception {
    Scenario scenario = ScenarioReader.read(OUTAGE, OptionalLong.empty());
    try (Relay cable = new Relay(broker.port());
        PahoBroker there = new PahoBroker(broker.url(), PahoSettings.USUAL);
        PahoBroker here = new PahoBroker(cable.url(), PahoSettings.USUAL);
        Stub stub =
            new Stub(
                there,
                scenario.site().id(),
                10,
                (self, step) -> {
                  cable.cut();
                  self.answer(step, 0);
                });
        LockstepRun run = new LockstepRun(scenario, here, SOON)) {
      assertEquals("stub", run.awaitController(SOON).orElseThrow());
      assertTrue(stub.begun());
      SurroundingsException lost =
          assertThrows(SurroundingsException.class, () -> run.run(micros -> {}));
      assertTrue(
          String.valueOf(lost.getMessage()).startsWith("The bench has lost its link to the broker"),
          lost.getMessage());
    }
  }
}
