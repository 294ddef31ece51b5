package islet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import islet.PahoPython;
import islet.live.EmbeddedBroker;
import islet.live.SurroundingsException;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * The example controller in Python, a process of its own, on the bench. Judged by the exit codes
 * that are promised, by the run folders, and by the hazards, which know the plant and the wire
 * only.
 */
@Timeout(90)
@Tag("apart")
class OwnControllerTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path EXAMPLE = ROOT.resolve("docs/examples/own-controller");

  /** The utility qualifies after 20 s in this one, so the example must be told so. */
  private static final Path OUTAGE =
      ROOT.resolve("device-sims/src/test/resources/islet/live/lockstep.yaml");

  private static EmbeddedBroker broker;

  @TempDir private Path disk = Path.of("");

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @BeforeAll
  static void start() throws SurroundingsException {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stop() {
    new Thread(broker::close).start(); // takes seconds, in which others may go on
  }

  private int islet(Object... args) {
    String[] words = Stream.of(args).map(Object::toString).toArray(String[]::new);
    return Main.run(words, new PrintWriter(out, true), new PrintWriter(err, true));
  }

  /** The example with one line of it changed, as its reader would. */
  private Path changed(String name, String file, String before, String after) throws IOException {
    Path folder = Files.createDirectories(disk.resolve(name));
    for (String each : List.of("landing.py", "lockstep.py")) {
      String text = Files.readString(EXAMPLE.resolve(each));
      if (each.equals("landing.py")) {
        text = replaced(text, "ENTER_SERVICE_S = 300", "ENTER_SERVICE_S = 20");
      }
      Files.writeString(
          folder.resolve(each), each.equals(file) ? replaced(text, before, after) : text);
    }
    return folder.resolve("landing.py");
  }

  private static String replaced(String text, String before, String after) {
    assertTrue(text.contains(before), "the example has no line with " + before);
    return text.replace(before, after);
  }

  /** Plays it and returns the exit code. */
  private int play(Path script, Path run, Object... more) throws Exception {
    Process controller = PahoPython.start(PahoPython.insist(), script, "--port", broker.port());
    Object[] args =
        Stream.concat(
                Stream.of(
                    "devices",
                    "--site",
                    OUTAGE,
                    "--broker",
                    broker.url(),
                    "--lockstep",
                    "--out",
                    run),
                Stream.of(more))
            .toArray();
    try {
      return islet(args);
    } finally {
      PahoPython.awaitEnd(controller);
    }
  }

  private static JsonNode verdict(Path run) throws IOException {
    return new ObjectMapper().readTree(Files.readAllBytes(run.resolve("verdict.json")));
  }

  @Test
  @LongTest
  void theExampleCarriesThePanelAndASlowOneLeavesTheSameBytes() throws Exception {
    Path quick = disk.resolve("quick-run");
    assertEquals(0, play(changed("quick", "landing.py", "", ""), quick), out.toString() + err);
    JsonNode verdict = verdict(quick);
    assertEquals("landing.py", verdict.get("supervisor").asText());
    assertEquals(
        List.of("GRID_PRESENT", "ISLANDING", "ISLANDED", "RECONNECTING", "GRID_PRESENT"),
        verdict.get("transitions").findValuesAsText("to"));

    Path slow = disk.resolve("slow-run");
    Path dawdling =
        changed(
            "slow",
            "lockstep.py",
            "        self.answer(step)\n",
            """
                    time.sleep(0.25 if step["seq"] % 151 == 0 else 0)
                    self.answer(step)
            """);
    assertEquals(0, play(dawdling, slow), out.toString() + err);
    for (String file :
        List.of("verdict.json", "events.csv", "trace.csv", "scenario.yaml", "report.html")) {
      assertArrayEquals(
          Files.readAllBytes(quick.resolve(file)), Files.readAllBytes(slow.resolve(file)), file);
    }
  }

  @Test
  @LongTest
  void whoComesBackTooEarlyIsCaughtByTheHazardOfThatName() throws Exception {
    Path run = disk.resolve("run");
    Path hasty = changed("hasty", "landing.py", "ENTER_SERVICE_S = 20", "ENTER_SERVICE_S = 2");
    assertEquals(1, play(hasty, run, "--format", "json"), out.toString() + err);
    assertEquals("fail", new ObjectMapper().readTree(out.toString()).get("verdict").asText());
    for (JsonNode hazard : verdict(run).get("hazards")) {
      boolean caught = hazard.get("id").asText().equals("early-return");
      assertEquals(caught ? "fail" : "pass", hazard.get("verdict").asText(), hazard.toString());
    }
  }

  @Test
  @LongTest
  void oneThatFailsIsToldAboutAndTheVerdictIsAFailure() throws Exception {
    Path run = disk.resolve("run");
    Path failing =
        changed(
            "failing",
            "landing.py",
            "        self.order_tie(now, tie, wire)\n",
            "        assert self.mode != \"ISLANDED\"\n        self.order_tie(now, tie, wire)\n");
    assertEquals(1, play(failing, run), out.toString());
    assertTrue(err.toString().contains("it has left the broker"), err.toString());
    assertEquals(
        "the supervisor scans to the end",
        verdict(run).get("expectations").get(0).get("text").asText());
  }

  @Test
  void whatIsAskedWronglyIsRefusedInASentenceAndNothingIsWritten() {
    Path run = disk.resolve("run");
    String url = "tcp://127.0.0.1:1";
    Path site = ROOT.resolve("config/sites/ferry-landing.yaml");
    refused("--seed: found \"x\"", "--site", OUTAGE, "--lockstep", "--seed", "x");
    refused("--patience: found \"0\"", "--site", OUTAGE, "--lockstep", "--patience", "0");
    refused("a site alone begins now and has no end", "--site", site, "--lockstep", "--out", run);
    refused("--out: found", "--site", site, "--broker", url, "--out", run);
    refused("--broker: found none", "--site", site);
    refused("--broker: found \"shed\"", "--site", OUTAGE, "--lockstep", "--broker", "shed");
    refused(
        "allowed is one of regulator, inverter, charger, tie, meter",
        "--site",
        site,
        "--broker",
        url,
        "--without",
        "windmill");
    refused(
        "allowed is what the site has: regulator, inverter, tie, meter",
        "--site",
        site,
        "--broker",
        url,
        "--without",
        "charger");
    refused("nothing with --lockstep", "--site", OUTAGE, "--lockstep", "--without", "meter");
    assertFalse(Files.exists(run));
  }

  private void refused(String sentence, Object... args) {
    err.getBuffer().setLength(0);
    Object[] all = Stream.concat(Stream.of("devices"), Stream.of(args)).toArray();
    assertEquals(2, islet(all), err.toString());
    assertTrue(err.toString().contains(sentence), err.toString());
  }

  @Test
  void aBrokerWithoutAControllerIsWrongSurroundings() {
    int code =
        islet(
            "devices",
            "--site",
            OUTAGE,
            "--broker",
            broker.url(),
            "--lockstep",
            "--wait",
            "0.2",
            "--out",
            disk.resolve("run"));
    assertEquals(3, code);
    assertTrue(err.toString().contains("No controller has answered BEGIN"), err.toString());
    assertFalse(Files.exists(disk.resolve("run")));
  }
}
