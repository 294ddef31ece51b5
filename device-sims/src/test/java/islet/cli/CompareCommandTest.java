package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the exit codes that are promised, by the disk, and by prices worked out by hand. */
class CompareCommandTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private final Path disk;
  private final Path scenario;
  private StringWriter out = new StringWriter();
  private StringWriter err = new StringWriter();

  CompareCommandTest(@TempDir Path disk) throws IOException {
    this.disk = disk;
    this.scenario = disk.resolve("minute.yaml");
    Files.writeString(
        scenario,
        "title: A minute\n"
            + "site: "
            + CONFIG.resolve("sites/ferry-landing.yaml")
            + "\n"
            + """
            start: 2026-01-14T15:00
            duration: PT1M
            weather: { constant: { ghi: 0 W/m2, temperature: 5 degC } }
            battery: { soc: 0.85 }
            """);
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

  private void refused(String sentence, Object... args) {
    assertEquals(2, islet(args), err.toString());
    assertTrue(err.toString().contains(sentence), err.toString());
    assertEquals("", out.toString());
  }

  private static double value(JsonNode json, String group, String name, int column) {
    for (JsonNode g : json.get("groups")) {
      for (JsonNode row : g.get("rows")) {
        if (g.get("name").asText().equals(group) && row.get("name").asText().equals(name)) {
          return row.get("values").get(column).asDouble();
        }
      }
    }
    throw new AssertionError(group + ", " + name + " is not in " + json);
  }

  @Test
  void aSettingIsVariedAndEachValueIsAColumn() throws IOException {
    assertEquals(
        0,
        islet(
            "compare",
            scenario,
            "--vary",
            "tariff.standing=1.44 USD/day,2.88 USD/day",
            "--format",
            "json"),
        err.toString());
    JsonNode json = new ObjectMapper().readTree(out.toString());
    assertEquals("1.44 USD/day", json.get("columns").get(0).get("label").asText());
    // A minute of a day that costs 1.44.
    assertEquals(0.001, value(json, "Cost", "Standing", 0), 1e-6);
    assertEquals(0.002, value(json, "Cost", "Standing", 1), 1e-6);
    double sold = value(json, "Energy", "Import", 0);
    assertTrue(sold > 0 && sold == value(json, "Energy", "Import", 1));
  }

  @Test
  void aRunFolderAndTheScenarioThatMadeItComeOutAlike() throws IOException {
    assertEquals(0, islet("rehearse", scenario, "--out", disk.resolve("run")), err.toString());
    assertEquals(
        0,
        islet("compare", disk.resolve("run"), scenario, "--out", disk.resolve("both")),
        err.toString());
    List<String> differing =
        out.toString().lines().filter(line -> line.matches(".* [+-]\\d.*")).toList();
    assertEquals(List.of(), differing);
    String page = Files.readString(disk.resolve("both/comparison.html"));
    assertTrue(page.contains("A minute"));
    // Again, over the first: the same bytes.
    assertEquals(0, islet("compare", disk.resolve("run"), scenario, "--out", disk.resolve("both")));
    assertEquals(page, Files.readString(disk.resolve("both/comparison.html")));
  }

  @Test
  void aFailedVerdictIsTheExitCodeAndTheComparisonIsThereAllTheSame() throws IOException {
    Path failing = disk.resolve("failing.yaml");
    Files.writeString(
        failing,
        Files.readString(scenario)
            + "expect:\n  - { signal: battery.soc, above: 0.99, always: true }\n");
    assertEquals(1, islet("compare", scenario, failing), err.toString());
    assertTrue(out.toString().contains("failing failed its verdict by an expectation."));
  }

  @Test
  void nothingAndOneThingAreRefused() {
    refused("Missing required parameter", "compare");
    refused("found one thing", "compare", scenario);
    refused("twice; allowed is each run or scenario once", "compare", scenario, scenario);
    refused(
        "allowed is a setting with two or more different values",
        "compare",
        scenario,
        "--vary",
        "supervision.reserve=30%");
  }

  @Test
  void wrongInputIsToldBeforeAnythingRuns() throws IOException {
    refused("no such file", "compare", scenario, disk.resolve("none.yaml"));
    Files.createDirectories(disk.resolve("empty"));
    refused(
        "allowed is a run folder with a verdict.json", "compare", scenario, disk.resolve("empty"));
    refused(
        "--vary: settings.supervison.reserve: found \"supervison\"",
        "compare",
        scenario,
        "--vary",
        "supervison.reserve=30%,50%");
    refused(
        "--vary: supervision.reserve: found \"5 V\"",
        "compare",
        scenario,
        "--vary",
        "supervision.reserve=30%,5 V");
    refused("--set: found \"reserve\"", "compare", scenario, "--set", "reserve", "--vary", "a=1,2");
  }

  @Test
  void aFolderThatNoComparisonWroteIsLeftAlone() throws IOException {
    Path folder = Files.createDirectories(disk.resolve("letters"));
    Files.writeString(folder.resolve("letter.txt"), "dear");
    refused(
        "letter.txt in it, which no comparison wrote",
        "compare",
        scenario,
        "--vary",
        "supervision.reserve=30%,50%",
        "--out",
        folder);
    assertFalse(Files.exists(folder.resolve("comparison.html")));
  }

  @Test
  void aCommaWithinBracketsBelongsToItsValue() {
    assertEquals(
        List.of("[]", "[{ between: \"00:00-05:00\", untilSoc: 0.9 }, { x: 1 }]", "\"a, b\""),
        VarySetting.parse("w=[],[{ between: \"00:00-05:00\", untilSoc: 0.9 }, { x: 1 }],\"a, b\"")
            .values());
  }

  private Path evening() throws IOException {
    Path evening = disk.resolve("evening.yaml");
    Files.writeString(
        evening,
        Files.readString(scenario)
            .replace("PT1M", "PT3H")
            .replace("soc: 0.85", "soc: 0.30")
            .replace("A minute", "An evening"));
    return evening;
  }

  @Test
  @LongTest
  void aReserveCurveSaysBillAndHoursForEachReserve() throws IOException {
    Path folder = disk.resolve("curve");
    assertEquals(
        0,
        islet(
            "compare",
            evening(),
            "--reserves",
            "20%,40%",
            "--outage",
            "30 min",
            "--jobs",
            "2",
            "--out",
            folder,
            "--format",
            "json"),
        err.toString());
    JsonNode json = new ObjectMapper().readTree(out.toString());
    assertEquals(0.5, json.get("outage_h").asDouble());
    JsonNode reserves = json.get("reserves");
    assertEquals("20%", reserves.get(0).get("reserve").asText());
    assertEquals("40%", reserves.get(1).get("reserve").asText());
    // What the higher reserve keeps back or buys has to be paid.
    assertTrue(
        reserves.get(1).get("bill").asDouble() > reserves.get(0).get("bill").asDouble(),
        out.toString());
    // Hours 1 and 2 of three; none is dark before the span is over.
    assertEquals(2, reserves.get(0).get("outages").size());
    assertEquals("2026-01-14 16:00", reserves.get(0).get("outages").get(0).get("began").asText());
    assertEquals("cut", reserves.get(0).get("outages").get(0).get("end").asText());
    assertEquals(1, reserves.get(1).get("survived_share").asDouble());
    assertTrue(Files.readString(folder.resolve("comparison.html")).contains("An evening"));
    assertEquals(out.toString(), Files.readString(folder.resolve("comparison.json")));
  }

  @Test
  void whatNoReserveCurveCanBeDrawnForIsRefused() throws IOException {
    Path evening = evening();
    refused("allowed are different states of charge", "compare", evening, "--reserves", "20%,120%");
    refused("allowed are different states of charge", "compare", evening, "--reserves", "20%,20%");
    refused("allowed are different states of charge", "compare", evening, "--reserves", "20%,");
    refused("allowed is one scenario file", "compare", evening, scenario, "--reserves", "20%");
    refused("allowed is 1 min to 168 h", "compare", evening, "--reserves", "20%", "--outage", "8");
    refused(
        "allowed is a whole number from 1 to 256",
        "compare",
        evening,
        "--reserves",
        "20%",
        "--jobs",
        "0");
    refused("allowed is only with it", "compare", evening, "--outage", "8 h");
    refused("two hours or more", "compare", scenario, "--reserves", "20%");
    refused(
        "allowed is one of them",
        "compare",
        evening,
        "--reserves",
        "20%",
        "--vary",
        "supervision.reserve=20%,30%");
    Path outage = disk.resolve("outage.yaml");
    Files.writeString(
        outage,
        Files.readString(evening) + "events:\n  - { at: PT1H, utility: { outage: PT1H } }\n");
    refused("a scenario in which nothing happens", "compare", outage, "--reserves", "20%");
    Path beacon = disk.resolve("beacon.yaml");
    Files.writeString(
        beacon, Files.readString(evening).replace("ferry-landing.yaml", "breakwater-beacon.yaml"));
    refused("a site with a utility that can go", "compare", beacon, "--reserves", "20%");
  }
}
