package islet.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.Entry;
import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.RunResult.Transition;
import islet.contract.Mode;
import islet.site.Site.OnSag;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Judged by the fields that users hold on to, RFC 8259 as another parser reads it, and RFC 4180.
 */
class RunFolderTest {

  private static final List<String> FILES =
      List.of(
          "events.csv", "report.html", "scenario.yaml", "timing.json", "trace.csv", "verdict.json");

  /** 2026-10-31T22:00 at the site, the night before clocks go back. */
  private static final long START =
      LocalDateTime.parse("2026-10-31T22:00").atZone(TestSites.CHICAGO).toEpochSecond()
          * 1_000_000L;

  private final Path place;

  RunFolderTest(@TempDir Path place) {
    this.place = place;
  }

  private static RunRecord run(int rows) {
    Truth truth = new Truth();
    Recorder recorder = new Recorder(START, 10);
    for (int i = 0; i < rows; i++) {
      truth.sample.at(START + i * 10_000_000L);
      truth.sample.set(Signal.BATTERY_VOLTAGE, 50 + i * 0.0123);
      truth.sample.set(Signal.PCC_POWER, i % 100 - 50.06);
      truth.sample.set(Signal.TIE_CLOSED, true);
      truth.sample.set(Signal.SUPERVISOR_MODE, Mode.GRID_PRESENT);
      recorder.truth(truth);
    }
    recorder.note(START + 1_234_567, "operator", "order", "", "HOLD", "key \"A, 7\"\nsays so");
    recorder.finish(START + (rows - 1) * 10_000_000L);
    RunResult result =
        new RunResult(
            "Évening",
            "landing",
            7,
            "0.1.0",
            32400,
            true,
            List.of(
                new HazardVerdict(
                    "backfeed",
                    "Feeding",
                    Outcome.WAIVED,
                    -0.1234567,
                    "s",
                    12.5,
                    "It \"fed\".",
                    -0.0617284)),
            List.of(new ExpectationVerdict("text", Outcome.PASS, 1.0 / 3, "V", 3)),
            List.of(new Transition(1, "A", "B", "why")),
            List.of(new Entry("import_kWh", 1.5)),
            List.of(new Entry("total_USD", 0.1 + 0.2)),
            List.of(new AlarmEntry(2, "tie-not-open", "HIGH", "t", "c", "a")),
            List.of("Lock out."));
    return new RunRecord(
        result,
        recorder.trace(),
        recorder.events(),
        TestSites.site(OnSag.SEPARATE),
        START,
        "title: Évening\n",
        List.of());
  }

  private static void write(Path folder, RunRecord run, double wall) throws Exception {
    RunFolder.write(folder, run, new Timing(wall, 86_400), r -> "<p>" + r.result().site());
  }

  private static List<String> names(Path folder) throws IOException {
    try (Stream<Path> entries = Files.list(folder)) {
      return entries.map(e -> e.getFileName().toString()).sorted().toList();
    }
  }

  private static List<String> fields(JsonNode node) {
    List<String> names = new ArrayList<>();
    for (Iterator<String> i = node.fieldNames(); i.hasNext(); ) {
      names.add(i.next());
    }
    return names;
  }

  @Test
  void theFolderHoldsItsSixFilesAndNothingElseIsLeftBeside() throws Exception {
    write(place.resolve("a/b"), run(5), 0.5);
    assertEquals(FILES, names(place.resolve("a/b")));
    assertEquals(List.of("b"), names(place.resolve("a")));
  }

  @Test
  void theVerdictHasTheFieldsThatUsersHoldOnTo() throws Exception {
    write(place.resolve("run"), run(5), 0.5);
    JsonNode verdict = new ObjectMapper().readTree(place.resolve("run/verdict.json").toFile());
    assertEquals(
        List.of(
            "scenario",
            "site",
            "seed",
            "version",
            "simulatedSeconds",
            "verdict",
            "hazards",
            "expectations",
            "transitions",
            "energy",
            "cost",
            "alarms",
            "cautions",
            "supervisor"),
        fields(verdict));
    assertEquals("Évening", verdict.get("scenario").asText());
    assertEquals("pass", verdict.get("verdict").asText());
    JsonNode hazard = verdict.get("hazards").get(0);
    assertEquals(
        List.of("id", "title", "verdict", "worstMargin", "unit", "share", "firstAt", "detail"),
        fields(hazard));
    assertEquals("waived", hazard.get("verdict").asText());
    assertEquals(-0.123457, hazard.get("worstMargin").asDouble());
    assertEquals(-0.061728, hazard.get("share").asDouble());
    assertEquals("It \"fed\".", hazard.get("detail").asText());
    assertEquals(
        List.of("text", "verdict", "margin", "unit", "at"),
        fields(verdict.get("expectations").get(0)));
    assertEquals(
        List.of("atSeconds", "from", "to", "reason"), fields(verdict.get("transitions").get(0)));
    assertEquals(1.5, verdict.get("energy").get("import_kWh").asDouble());
    assertEquals("0.3", verdict.get("cost").get("total_USD").toString());
    assertEquals("tie-not-open", verdict.get("alarms").get(0).get("id").asText());
    assertEquals("Lock out.", verdict.get("cautions").get(0).asText());
  }

  @Test
  void theTraceNamesEverySignalAndTellsTheHourThatComesTwiceApart() throws Exception {
    write(place.resolve("run"), run(2161), 0.5);
    String text = Files.readString(place.resolve("run/trace.csv"));
    String[] lines = text.split("\r\n", -1);
    String labels = String.join(",", Signal.all().stream().map(Signal::label).toList());
    assertEquals("time_s,local_time," + labels, lines[0]);
    assertEquals(1 + 2161 + 1, lines.length);
    assertEquals("", lines[lines.length - 1]);
    assertTrue(lines[1].startsWith("0,2026-10-31T22:00:00.000-05:00,"), lines[1]);
    assertTrue(lines[1 + 1260].startsWith("12600,2026-11-01T01:30:00.000-05:00,"));
    assertTrue(lines[1 + 1620].startsWith("16200,2026-11-01T01:30:00.000-06:00,"));
    String[] row = lines[2].split(",", -1);
    assertEquals(2 + Signal.all().size(), row.length);
    assertEquals("true", row[2 + Signal.TIE_CLOSED.ordinal()]);
    assertEquals("50.012", row[2 + Signal.BATTERY_VOLTAGE.ordinal()]);
    assertEquals("-49.1", row[2 + Signal.PCC_POWER.ordinal()]);
    assertEquals("GRID_PRESENT", row[2 + Signal.SUPERVISOR_MODE.ordinal()]);
  }

  @Test
  void aFieldWithCommasQuotesAndLineBreaksIsQuoted() throws Exception {
    write(place.resolve("run"), run(3), 0.5);
    assertEquals(
        "time_s,local_time,source,kind,from,to,reason\r\n"
            + "1.235,2026-10-31T22:00:01.234-05:00,operator,order,,HOLD,"
            + "\"key \"\"A, 7\"\"\nsays so\"\r\n",
        Files.readString(place.resolve("run/events.csv")));
  }

  @Test
  void twoWritingsOfOneRunDifferInTimingAlone() throws Exception {
    write(place.resolve("one"), run(50), 0.5);
    write(place.resolve("two"), run(50), 0.7);
    for (String name : FILES) {
      byte[] one = Files.readAllBytes(place.resolve("one").resolve(name));
      byte[] two = Files.readAllBytes(place.resolve("two").resolve(name));
      if (name.equals("timing.json")) {
        assertFalse(java.util.Arrays.equals(one, two));
      } else {
        assertArrayEquals(one, two, name);
      }
    }
  }

  @Test
  void aRunFolderIsReplaced() throws Exception {
    write(place.resolve("run"), run(3), 0.5);
    write(place.resolve("run"), run(9), 0.5);
    assertEquals(FILES, names(place.resolve("run")));
    assertEquals(10, Files.readAllLines(place.resolve("run/trace.csv")).size());
    assertEquals(List.of("run"), names(place));
  }

  @Test
  void aFolderThatIsNotOursIsLeftAlone() throws Exception {
    Path folder = Files.createDirectory(place.resolve("thesis"));
    Files.writeString(folder.resolve("chapter1.txt"), "dear");
    RunFolderException e = assertThrows(RunFolderException.class, () -> write(folder, run(3), 0.5));
    assertTrue(String.valueOf(e.getMessage()).contains("not a run folder"));
    assertEquals(List.of("chapter1.txt"), names(folder));
    assertEquals(List.of("thesis"), names(place));
  }

  @Test
  void aRunFolderWithSomebodysNotesInItIsLeftAlone() throws Exception {
    write(place.resolve("run"), run(3), 0.5);
    Files.writeString(place.resolve("run/notes.txt"), "dear");
    RunFolderException e =
        assertThrows(RunFolderException.class, () -> write(place.resolve("run"), run(9), 0.5));
    assertTrue(String.valueOf(e.getMessage()).contains("notes.txt"));
    assertEquals(4, Files.readAllLines(place.resolve("run/trace.csv")).size());
  }

  @Test
  void aFileOfThatNameIsLeftAlone() throws Exception {
    Files.writeString(place.resolve("run"), "dear");
    assertThrows(RunFolderException.class, () -> write(place.resolve("run"), run(9), 0.5));
    assertEquals("dear", Files.readString(place.resolve("run"), StandardCharsets.UTF_8));
  }

  @Test
  void aReportThatCannotBeMadeLeavesTheOldFolderAsItWas() throws Exception {
    write(place.resolve("run"), run(3), 0.5);
    assertThrows(
        IllegalStateException.class,
        () ->
            RunFolder.write(
                place.resolve("run"),
                run(9),
                new Timing(1, 1),
                r -> {
                  throw new IllegalStateException("no report");
                }));
    assertEquals(4, Files.readAllLines(place.resolve("run/trace.csv")).size());
    assertEquals(List.of("run"), names(place));
  }
}
