package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Document;

/**
 * Judged by exit codes, by the rows that a database reader of its own finds, and by an XML parser.
 */
class CampaignCommandTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path SMOKE = ROOT.resolve("config/campaigns/smoke.yaml");

  /** Where a process has written enough to be killed in the midst of its work. */
  private static final int SOME_ROWS = 15;

  private final Path disk;
  private StringWriter out = new StringWriter();
  private StringWriter err = new StringWriter();

  CampaignCommandTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private int islet(Object... args) {
    out = new StringWriter();
    err = new StringWriter();
    String[] words = new String[args.length];
    for (int i = 0; i < args.length; i++) {
      words[i] = args[i].toString();
    }
    return Main.run(words, new PrintWriter(out), new PrintWriter(err));
  }

  private static List<String> rows(Path folder) throws SQLException {
    List<String> rows = new ArrayList<>();
    try (Connection connection =
            DriverManager.getConnection("jdbc:sqlite:" + folder.resolve("results.sqlite"));
        Statement statement = connection.createStatement();
        ResultSet found = statement.executeQuery("SELECT * FROM cases ORDER BY id")) {
      int columns = found.getMetaData().getColumnCount();
      while (found.next()) {
        StringBuilder row = new StringBuilder();
        for (int i = 1; i <= columns; i++) {
          row.append(found.getString(i)).append('|');
        }
        rows.add(row.toString());
      }
    }
    return rows;
  }

  @Test
  void aSampleOfTheSmokeCampaignPassesAndLeavesItsReports() throws Exception {
    Path folder = disk.resolve("smoke");
    assertEquals(0, islet("campaign", SMOKE, "--limit", 12, "--out", folder), err + "" + out);
    assertTrue(out.toString().startsWith("PASS  Smoke\n      12 cases, 0 failed, 0 waived\n"));
    assertEquals(12, rows(folder).size());
    Document junit =
        DocumentBuilderFactory.newInstance()
            .newDocumentBuilder()
            .parse(folder.resolve("junit.xml").toFile());
    assertEquals("12", junit.getDocumentElement().getAttribute("tests"));
    assertEquals(12, junit.getElementsByTagName("testcase").getLength());
    assertEquals(0, junit.getElementsByTagName("failure").getLength());
    Document page =
        DocumentBuilderFactory.newInstance()
            .newDocumentBuilder()
            .parse(folder.resolve("campaign.html").toFile());
    assertTrue(page.getElementsByTagName("table").getLength() >= 3);
    try (Stream<Path> files = Files.list(folder)) {
      assertEquals(
          List.of("campaign.html", "campaign.txt", "junit.xml", "results.sqlite"),
          files.map(f -> f.getFileName().toString()).sorted().toList());
    }
  }

  @Test
  void aFailureIsToldShrunkAndCanBeRehearsedAndReplayed() throws Exception {
    Path folder = disk.resolve("failing");
    // A defect that returns after a fraction of the delay fails in the undisturbed course already.
    assertEquals(
        1,
        islet(
            "campaign",
            SMOKE,
            "--limit",
            3,
            "--jobs",
            2,
            "--supervisor",
            "defect:enter-delay-in-minutes",
            "--out",
            folder));
    assertTrue(out.toString().startsWith("FAIL  Smoke"), out.toString());
    List<Path> shrunk;
    try (Stream<Path> files = Files.list(folder.resolve("failures"))) {
      shrunk = files.sorted().toList();
    }
    assertFalse(shrunk.isEmpty());
    Path run = disk.resolve("run");
    assertEquals(
        1,
        islet(
            "rehearse",
            shrunk.get(0),
            "--supervisor",
            "defect:enter-delay-in-minutes",
            "--out",
            run));
    assertTrue(out.toString().contains("FAIL   early-return"), out.toString());
    assertEquals(0, islet("replay", run), out.toString());
    assertTrue(out.toString().contains("SAME  "), out.toString());
    assertEquals(0, islet("rehearse", shrunk.get(0), "--out", disk.resolve("own")));
  }

  @Test
  void whatWasRecordedOtherwiseDiffersAndSaysWhere() throws IOException {
    Path run = disk.resolve("run");
    Path course = ROOT.resolve("config/campaigns/courses/dark-and-back.yaml");
    assertEquals(0, islet("rehearse", course, "--out", run));
    Path events = run.resolve("events.csv");
    String text = Files.readString(events);
    Files.writeString(events, text.replaceFirst("DARK", "DIM"));
    assertEquals(1, islet("replay", run));
    assertTrue(out.toString().contains("differs  events.csv from line "), out.toString());
    assertTrue(out.toString().contains("same     trace.csv"), out.toString());
    Files.delete(events);
    assertEquals(1, islet("replay", run));
    assertTrue(out.toString().contains("missing  events.csv"), out.toString());
    assertEquals(2, islet("replay", disk.resolve("nowhere")));
    assertTrue(err.toString().contains("found no such file"), err.toString());
  }

  @Test
  @LongTest
  void afterAKillNothingIsLostAndNothingIsRunTwice() throws Exception {
    Path straight = disk.resolve("straight");
    assertEquals(0, islet("campaign", SMOKE, "--limit", 60, "--out", straight));
    Path killed = disk.resolve("killed");
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Dislet.root=" + ROOT,
                "-cp",
                System.getProperty("java.class.path"),
                "islet.cli.Main",
                "campaign",
                SMOKE.toString(),
                "--limit",
                "60",
                "--jobs",
                "2",
                "--out",
                killed.toString())
            .redirectErrorStream(true)
            .redirectOutput(disk.resolve("log").toFile())
            .start();
    long rows = 0;
    while (rows < SOME_ROWS && process.isAlive()) {
      assertFalse(process.waitFor(20, TimeUnit.MILLISECONDS));
      rows = Files.exists(killed.resolve("results.sqlite")) ? count(killed) : 0;
    }
    process.destroyForcibly().waitFor();
    long left = count(killed);
    assertTrue(left >= SOME_ROWS && left < 60, left + " rows");

    assertEquals(2, islet("campaign", SMOKE, "--limit", 60, "--out", killed));
    assertTrue(err.toString().contains("--resume to go on with them"), err.toString());
    assertEquals(0, islet("campaign", SMOKE, "--limit", 60, "--resume", "--out", killed));
    assertEquals(rows(straight), rows(killed));
  }

  /** A file that is being made has no table yet. */
  private static long count(Path folder) {
    try {
      return rows(folder).size();
    } catch (SQLException e) {
      return 0;
    }
  }

  @Test
  void whatCannotBeMeantIsRefusedAndNothingIsWritten() throws IOException {
    Path folder = disk.resolve("none");
    assertEquals(2, islet("campaign", SMOKE, "--resume", "--out", folder));
    assertTrue(err.toString().contains("found no results to go on with"), err.toString());
    assertEquals(2, islet("campaign", SMOKE, "--jobs", 0, "--out", folder));
    assertTrue(err.toString().contains("--jobs: found 0"), err.toString());
    assertEquals(2, islet("campaign", disk.resolve("missing.yaml"), "--out", folder));
    assertFalse(Files.exists(folder));
    Path strange = Files.createDirectory(disk.resolve("strange"));
    Files.writeString(strange.resolve("letter.txt"), "mine");
    assertEquals(2, islet("campaign", SMOKE, "--out", strange));
    assertTrue(err.toString().contains("found letter.txt in it"), err.toString());
  }
}
