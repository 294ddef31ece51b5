package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.executive.journal.Entry;
import islet.executive.journal.FileJournal;
import islet.executive.journal.JournalFolder;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the promised exit codes, and that each refusal is a sentence that says what to do. */
@Tag("apart")
class ControllerCommandTest {

  private static final String SITE =
      Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml").toString();

  @TempDir private Path folder = Path.of("");

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(String... args) {
    return Main.run(args, new PrintWriter(out, true), new PrintWriter(err, true));
  }

  private static String deadBroker() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return "tcp://127.0.0.1:" + socket.getLocalPort();
    }
  }

  private String journal() {
    return folder.resolve("journal").toString();
  }

  @Test
  @LongTest
  void aBrokerThatDoesNotAnswerIsWrongSurroundings() throws IOException {
    int code = run("controller", "--site", SITE, "--broker", deadBroker(), "--journal", journal());
    assertEquals(3, code);
    assertTrue(err.toString().contains("No MQTT 5 broker answers"), err.toString());
    err.getBuffer().setLength(0);
    assertEquals(3, run("devices", "--site", SITE, "--broker", deadBroker()));
    assertTrue(err.toString().contains("No MQTT 5 broker answers"), err.toString());
  }

  @Test
  void aBrokerThatIsNoAddressIsWrongInputAndNothingIsWritten() {
    assertEquals(2, run("controller", "--site", SITE, "--broker", "shed", "--journal", journal()));
    assertTrue(err.toString().contains("tcp://127.0.0.1:1883"), err.toString());
    assertFalse(Files.exists(Path.of(journal())));
    assertEquals(2, run("devices", "--site", SITE, "--broker", "shed"));
  }

  @Test
  void whatABenchHasNoUseForIsRefusedInLockstep() throws IOException {
    String url = deadBroker();
    assertEquals(2, run("controller", "--site", SITE, "--broker", url, "--lockstep", "--observe"));
    assertTrue(err.toString().contains("--lockstep: found beside"), err.toString());
    assertEquals(3, run("controller", "--site", SITE, "--broker", url, "--lockstep"));
  }

  @Test
  void severalSitesHaveIdsOfTheirOwnAndJournalsOfTheirOwn() throws IOException {
    String url = deadBroker();
    String other = SITE.replace("ferry-landing", "boat-shed");
    assertEquals(2, run("controller", "--site", SITE, "--site", SITE, "--broker", url));
    assertTrue(err.toString().contains("two sites with the id ferry-landing"), err.toString());
    assertEquals(
        2, run("controller", "--site", SITE, "--site", other, "--broker", url, "--lockstep"));
    assertTrue(err.toString().contains("found 2 sites beside --lockstep"), err.toString());
    assertFalse(Files.exists(Path.of(journal())));
    assertEquals(
        3,
        run(
            "controller",
            "--site",
            SITE,
            "--site",
            other,
            "--broker",
            url,
            "--journal",
            journal()));
    assertTrue(Files.isDirectory(Path.of(journal(), "ferry-landing")));
    assertTrue(Files.isDirectory(Path.of(journal(), "boat-shed")));
  }

  @Test
  void aSiteThatCannotBeReadIsWrongInput() throws IOException {
    String nowhere = folder.resolve("nowhere.yaml").toString();
    assertEquals(
        2, run("controller", "--site", nowhere, "--broker", deadBroker(), "--journal", journal()));
    assertTrue(err.toString().contains("nowhere.yaml"), err.toString());
    assertEquals(2, run("devices", "--site", nowhere, "--broker", deadBroker()));
  }

  @Test
  void aJournalThatCannotBeWrittenIsWrongSurroundings() throws IOException {
    Files.writeString(Path.of(journal()), "a file where a folder should be");
    int code = run("controller", "--site", SITE, "--broker", deadBroker(), "--journal", journal());
    assertEquals(3, code);
    assertTrue(err.toString().contains("name another folder with --journal"), err.toString());
  }

  @Test
  void aJournalThatAnotherControllerWritesIsWrongSurroundings() throws IOException {
    JournalFolder files = new JournalFolder(Path.of(journal()));
    try (FileJournal other = new FileJournal(files, files.past())) {
      assertFalse(other.failing());
      assertEquals(
          3, run("controller", "--site", SITE, "--broker", deadBroker(), "--journal", journal()));
      assertTrue(err.toString().contains("another controller writes"), err.toString());
    }
  }

  @Test
  void theJournalIsPrintedALineANote() throws IOException {
    JournalFolder files = new JournalFolder(Path.of(journal()));
    try (FileJournal journal = new FileJournal(files, files.past())) {
      var unused =
          journal.note(Entry.Kind.ORDER, 1_768_424_400_123_000L, Map.of("order", "HOLD"), true);
    }
    assertEquals(0, run("journal", journal()));
    assertEquals(
        "1  2026-01-14T21:00:00.123Z  ORDER  order: HOLD" + System.lineSeparator(), out.toString());
    assertEquals(2, run("journal", folder.resolve("nowhere").toString()));
  }
}
