package islet.bench.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.RunResult;
import islet.bench.RunResult.AlarmEntry;
import islet.bench.RunResult.Entry;
import islet.bench.RunResult.ExpectationVerdict;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.RunResult.Transition;
import islet.bench.VerdictJson;
import islet.bench.VerdictReader;
import islet.bench.report.ComparePage;
import islet.site.InputException;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Runs small enough to be compared with a pencil; the page also judged by an XML parser. */
class ComparisonTest {

  private static final String VERSION = "1.2.3";

  private static RunResult result(double importKWh, double storedKWh, boolean passed) {
    return new RunResult(
        "A <day> & a night",
        "Landing",
        7,
        VERSION,
        86_400,
        passed,
        List.of(
            new HazardVerdict(
                "backfeed",
                "Backfeed",
                passed ? Outcome.PASS : Outcome.FAIL,
                passed ? 0.5 : -0.25,
                "s",
                passed ? -1 : 12,
                "detail")),
        List.of(new ExpectationVerdict("e", Outcome.PASS, 1, "s", 2)),
        List.of(new Transition(1, "GRID_PRESENT", "ISLANDED", "gone")),
        List.of(
            new Entry("pv_kWh", 8),
            new Entry("import_kWh", importKWh),
            new Entry("critical_kWh", 10.5),
            new Entry("regulator_loss_kWh", 0.25),
            new Entry("battery_gas_loss_kWh", 0.5),
            new Entry("stored_change_kWh", storedKWh),
            new Entry("soc_end", 0.75)),
        List.of(
            new Entry("import_kWh", importKWh),
            new Entry("import_USD", importKWh / 4),
            new Entry("total_USD", importKWh / 4),
            new Entry("band_night_import_kWh", importKWh),
            new Entry("band_night_import_USD", importKWh / 4)),
        List.of(new AlarmEntry(3, "tie-not-open", "HIGH", "t", "c", "a")),
        List.of());
  }

  private static Comparison of(RunResult... results) {
    List<Column> columns = new ArrayList<>();
    for (RunResult result : results) {
      columns.add(
          new Column("run-" + (columns.size() + 1), "run folder runs/" + columns.size(), result));
    }
    return Comparison.of(columns, VERSION);
  }

  private static Row.Figures row(Comparison comparison, String group, String name) {
    return comparison.groups().stream()
        .filter(g -> g.name().equals(group))
        .flatMap(g -> g.rows().stream())
        .filter(r -> r.name().strip().equals(name))
        .map(r -> (Row.Figures) r)
        .findFirst()
        .orElseThrow();
  }

  @Test
  void differencesAreCountedFromTheFirst() {
    Comparison two = of(result(4, 0, true), result(3, 0, true));
    assertEquals(-1, row(two, "Energy", "Import").difference(1), 1e-12);
    assertEquals(-0.25, row(two, "Cost", "Total").difference(1), 1e-12);
    assertEquals(List.of(1.0, 0.75), row(two, "Cost", "night").values());
    assertEquals(List.of(0.75, 0.75), row(two, "Energy", "Losses").values());
    assertEquals(List.of(75.0, 75.0), row(two, "Performance", "State of charge, end").values());
    assertEquals(List.of(1.0, 1.0), row(two, "Transfers and alarms", "onto the island").values());
    assertTrue(two.passed());
    assertEquals(List.of(), two.notes());
  }

  @Test
  void aFailedRunIsNamedFirst() {
    Comparison two = of(result(4, 0, true), result(3, 0, false));
    assertFalse(two.passed());
    assertTrue(two.notes().get(0).startsWith("run-2 failed its verdict: backfeed."));
    assertTrue(CompareText.of(two).contains("FAIL -0.25 s"));
  }

  @Test
  void aBatteryThatEndsEmptierIsSaid() {
    List<String> notes = of(result(4, 1, true), result(3, -0.5, true)).notes();
    assertEquals(1, notes.size());
    assertTrue(notes.get(0).contains("by up to 1.5 kWh"), notes.get(0));
  }

  @Test
  void aRunOfAnotherVersionLengthOrSeedIsSaid() {
    RunResult other = result(4, 0, true);
    RunResult older =
        new RunResult(
            other.scenario(),
            other.site(),
            8,
            "1.0.0",
            3600,
            true,
            other.hazards(),
            other.expectations(),
            other.transitions(),
            other.energy(),
            List.of(),
            other.alarms(),
            List.of("This run was stopped after PT1H of PT24H."));
    Comparison two = of(other, older);
    String notes = String.join("\n", two.notes());
    assertTrue(notes.contains("run-2 was run by version 1.0.0, this is 1.2.3"), notes);
    assertTrue(notes.contains("run-1 24 h, run-2 1 h"), notes);
    assertTrue(notes.contains("different seeds: 7, 8"), notes);
    assertTrue(notes.contains("run-2: This run was stopped"), notes);
    // A bill that is not there is no bill of nothing.
    assertTrue(Double.isNaN(row(two, "Cost", "Total").values().get(1)));
  }

  @Test
  void threeRunsFitATerminalOfAHundredColumns() {
    String text = CompareText.of(of(result(4, 0, true), result(3, 1, false), result(5, 0, true)));
    text.lines().forEach(line -> assertTrue(line.length() <= 100, line));
    text.lines().forEach(line -> assertEquals(line.stripTrailing(), line));
  }

  @Test
  void anEnergyThatThisVersionDoesNotKnowIsShownAsItIs() {
    RunResult plain = result(4, 0, true);
    List<Entry> energy = new ArrayList<>(plain.energy());
    energy.add(new Entry("capacity_fade", 0.001));
    RunResult newer =
        new RunResult(
            plain.scenario(),
            plain.site(),
            7,
            VERSION,
            86_400,
            true,
            plain.hazards(),
            plain.expectations(),
            plain.transitions(),
            energy,
            plain.cost(),
            plain.alarms(),
            List.of());
    List<Double> values = row(of(plain, newer), "Other figures", "capacity_fade").values();
    assertTrue(Double.isNaN(values.get(0)));
    assertEquals(0.001, values.get(1));
  }

  @Test
  void thePageParsesAsXmlAndComesOutTheSameTwice() throws Exception {
    Comparison two = of(result(4, 0, true), result(3, 0, false));
    String page = ComparePage.html(two);
    DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(
            new ByteArrayInputStream(
                page.replace("<!DOCTYPE html>", "").getBytes(StandardCharsets.UTF_8)));
    assertTrue(page.contains("A &lt;day&gt; &amp; a night"));
    assertFalse(page.contains("<script") || page.contains("<link") || page.contains("src="));
    assertEquals(page, ComparePage.html(of(result(4, 0, true), result(3, 0, false))));
  }

  @Test
  void theJsonHasEveryDifference() throws IOException {
    JsonNode json =
        new ObjectMapper().readTree(CompareJson.of(of(result(4, 0, true), result(3, 0, true))));
    assertEquals(2, json.get("columns").size());
    for (JsonNode group : json.get("groups")) {
      for (JsonNode row : group.get("rows")) {
        assertEquals(
            2, row.has("values") ? row.get("differences").size() : row.get("words").size());
      }
    }
  }

  /** Written and read back: the record is the same, since its numbers have six decimals or less. */
  @Test
  void aVerdictReadsBackAsItWasWritten(@TempDir Path folder) throws IOException {
    RunResult result = result(4.125, -0.5, false);
    Files.write(folder.resolve("verdict.json"), VerdictJson.verdict(result));
    assertEquals(result, VerdictReader.read(folder));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "seed" : 7 | "seed" : "seven" | seed: found "seven"; allowed is a number.
          "seed" : 7, | `` | seed: found nothing; allowed is a number.
          "verdict" : "pass" | "verdict" : "perhaps" | verdict: found "perhaps"; allowed is one of pass, fail, waived.
          "pv_kWh" : 8 | "pv_kWh" : null | energy.pv_kWh: found null; allowed is a number.
          "site" : | "site" | found text that is not JSON
          """)
  void aSpoiltVerdictIsToldWithItsField(
      String from, String to, String sentence, @TempDir Path folder) throws IOException {
    String text = new String(VerdictJson.verdict(result(4, 0, true)), StandardCharsets.UTF_8);
    assertTrue(text.contains(from), text);
    Files.writeString(folder.resolve("verdict.json"), text.replace(from, to));
    InputException e = assertThrows(InputException.class, () -> VerdictReader.read(folder));
    assertTrue(String.valueOf(e.getMessage()).contains(sentence), e.getMessage());
  }
}
