package islet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.guided.Seal;
import islet.bench.plug.Supervisors;
import islet.bench.report.Report;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.OptionalLong;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/**
 * Guided rehearsals with typed answers, judged by what was typed, by the run without a person, by
 * an XML parser, and by a YAML 1.2 reader for the JSON (every JSON text is YAML 1.2).
 */
class GuidedRehearsalTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Clock NOON =
      Clock.fixed(Instant.parse("2026-06-24T17:00:00Z"), ZoneOffset.UTC);

  private static final String TEXT =
      """
      title: Three <stops> & a line
      site: SITE
      start: 2026-06-24T08:00
      duration: PT2M
      weather: { constant: { ghi: 500 W/m2, temperature: 20 degC } }
      battery: { soc: 0.8 }
      events:
        - { at: PT1M, utility: { outage: PT5M } }
      stops:
        - { at: PT30S, do: Read <it>, see: the tie closed, measure: [battery.voltage_V, tie.closed] }
        - { at: PT1M1S, do: Open the disconnect, see: the panel live, safety: Test dead. }
        - { at: PT2M, do: Close & check, see: still an island, measure: [battery.soc] }
      """
          .replace("SITE", ROOT.resolve("config/sites/ferry-landing.yaml").toString());

  private static final String PASSED =
      "Ada\npass\n52.40\ntrue\nall well\np\n\nPASS\n\n\nAda L.\nA. L.\n";

  private final Path place;
  private final Path folder;
  private final Path file;

  GuidedRehearsalTest(@TempDir Path place) throws IOException {
    this.place = place;
    folder = place.resolve("run");
    file = place.resolve("stops.yaml");
    Files.writeString(file, TEXT);
  }

  private record Said(int code, String out) {}

  private Said guided(String typed, boolean resume) throws IOException, RunFolderException {
    return guided(folder, typed, resume);
  }

  private Said guided(Path there, String typed, boolean resume)
      throws IOException, RunFolderException {
    RunFolder.checkGuided(there, resume);
    StringWriter out = new StringWriter();
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    PrintWriter print = new PrintWriter(out);
    int code =
        new GuidedRehearsal(
                scenario, Supervisors.OWN, there, new StringReader(typed), print, print, NOON)
            .run(resume);
    return new Said(code, out.toString());
  }

  @SuppressWarnings("unchecked")
  private Map<String, Object> record() throws IOException {
    return (Map<String, Object>)
        new Load(LoadSettings.builder().build())
            .loadFromString(Files.readString(folder.resolve("record.json")));
  }

  @SuppressWarnings("unchecked")
  private List<Map<String, Object>> steps() throws IOException {
    return Objects.requireNonNull((List<Map<String, Object>>) record().get("steps"));
  }

  private static Said islet(String typed, String... args) {
    StringWriter out = new StringWriter();
    java.io.InputStream before = System.in;
    System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
    try {
      PrintWriter print = new PrintWriter(out);
      int code = Main.run(args, print, print);
      return new Said(code, out.toString());
    } finally {
      System.setIn(before);
    }
  }

  @Test
  void whatIsTypedStandsInTheRecordAndTheRunIsTheSameAsWithoutAPerson() throws Exception {
    Said said = guided(PASSED, false);
    assertEquals(0, said.code(), said.out());
    assertTrue(said.out().contains("Step 2 of 3, 0:01:01.000 after the start"), said.out());
    assertTrue(said.out().contains("  Caution  Test dead."), said.out());
    assertTrue(said.out().contains("  Mode     ISLANDED"), said.out());

    assertEquals("pass", record().get("outcome"));
    assertEquals("Ada L.", record().get("name"));
    assertEquals("A. L.", record().get("signature"));
    assertEquals("2026-06-24T12:00:00-05:00", record().get("signedAt"));
    Map<String, Object> first = steps().get(0);
    assertEquals("pass", first.get("verdict"));
    assertEquals("Ada", first.get("who"));
    assertEquals("all well", first.get("remark"));
    assertEquals("2026-06-24T08:00:30-05:00", first.get("at"));
    String values = String.valueOf(first.get("values"));
    assertTrue(values.contains("measured=52.40, unit=V"), values);
    assertTrue(values.contains("truth=true, measured=true"), values);
    assertFalse(Files.exists(RunFolder.answers(folder)), "the answers are in the record now");

    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    Map<String, byte[]> alone =
        RunFolder.files(new Rehearsal(scenario).run(t -> {}).record(Version.text()), Report::html);
    for (Map.Entry<String, byte[]> one : alone.entrySet()) {
      assertArrayEquals(
          one.getValue(), Files.readAllBytes(folder.resolve(one.getKey())), one.getKey());
    }
  }

  @Test
  void theSameAnswersAtTheSameTimeLeaveTheSameBytes() throws Exception {
    guided(PASSED, false);
    Path again = place.resolve("again");
    guided(again, PASSED, false);
    for (String name : List.of("record.json", "record.html")) {
      assertArrayEquals(
          Files.readAllBytes(folder.resolve(name)), Files.readAllBytes(again.resolve(name)), name);
    }
  }

  @Test
  void aBadAnswerIsAskedAgainWithASentence() throws Exception {
    Said said =
        guided(
            """

            Ada
            maybe

            fail
            fifty
            52
            open
            false

            the lamp was dark
            skip

            no time
            p


            Ada

            Ada
            """,
            false);
    assertEquals(1, said.code());
    assertTrue(said.out().contains("Found nothing; allowed is a name."), said.out());
    assertTrue(
        said.out().contains("Found \"maybe\"; allowed is one of pass, fail, skip."), said.out());
    assertTrue(said.out().contains("Found \"fifty\"; allowed is a number"), said.out());
    assertTrue(
        said.out().contains("Found \"open\"; allowed is one of false, true, or nothing."),
        said.out());
    assertTrue(said.out().contains("Found nothing; allowed is a sentence or two."), said.out());
    assertTrue(said.out().contains("Found nothing; allowed is a reason."), said.out());
    assertTrue(said.out().contains("Found nothing; allowed is a signature"), said.out());
    assertEquals("fail", record().get("outcome"));
    assertEquals("the lamp was dark", steps().get(0).get("remark"));
    assertEquals("no time", steps().get(1).get("remark"));
  }

  @Test
  void aSkippedStepLeavesTheRecordOpen() throws Exception {
    Said said = guided("Ada\np\n\n\n\ns\nno ladder\np\n\n\nAda\nA\n", false);
    assertEquals(1, said.code());
    assertEquals("open", record().get("outcome"));
    assertEquals("skip", steps().get(1).get("verdict"));
  }

  @Test
  void whatWasAnsweredBeforeTheInputEndedIsKeptAndGoneOnWith() throws Exception {
    Said ended = guided("Ada\np\n52.40\ntrue\nall well\np\n", false);
    assertEquals(1, ended.code());
    assertTrue(ended.out().contains("1 of 3 steps are answered and kept"), ended.out());
    assertEquals(2, Files.readAllLines(RunFolder.answers(folder)).size());
    assertThrows(RunFolderException.class, () -> guided(PASSED, false));
    assertThrows(RunFolderException.class, () -> RunFolder.check(folder));

    Said resumed = guided("Bo\np\n\np\n\n\nBo\nB\n", true);
    assertEquals(0, resumed.code(), resumed.out());
    assertFalse(resumed.out().contains("Step 1 of 3"), resumed.out());
    assertEquals("Ada", steps().get(0).get("who"));
    assertEquals("Bo", steps().get(1).get("who"));
  }

  @Test
  void anEndAtTheSignatureKeepsEveryStep() throws Exception {
    guided("Ada\np\n\n\n\np\n\np\n\n\n", false);
    Said signed = guided("Ada\nAda\nA\n", true);
    assertEquals(0, signed.code(), signed.out());
    assertEquals(3, steps().size());
  }

  /** As the disk has it when the machine went away while a line was being written. */
  @Test
  void aLineThatAKillHasCutShortIsAskedAgain() throws Exception {
    guided("Ada\np\n\n\n\np\n\n", false);
    Path answers = RunFolder.answers(folder);
    String text = Files.readString(answers);
    Files.writeString(answers, text.substring(0, text.length() - 20));
    Said resumed = guided("Bo\np\n\np\n\n\nBo\nB\n", true);
    assertEquals(0, resumed.code(), resumed.out());
    assertEquals("Ada", steps().get(0).get("who"));
    assertEquals("Bo", steps().get(1).get("who"));
  }

  @Test
  void answersToAnotherCaseAndDamagedOnesAreRefused() throws Exception {
    guided("Ada\np\n\n\n\n", false);
    Path answers = RunFolder.answers(folder);
    String text = Files.readString(answers);
    Files.writeString(file, TEXT.replace("soc: 0.8 }", "soc: 0.7 }"));
    String other = refusal("Ada\n");
    assertTrue(other.contains("line 1: found answers to another case"), other);

    Files.writeString(file, TEXT);
    Files.writeString(answers, text.replace("\"mode\":\"GRID_PRESENT\"", "\"mode\":\"HELD\""));
    String changed = refusal("Ada\n");
    assertTrue(changed.contains("line 2: found that step 1 looks different now"), changed);

    Files.writeString(answers, text + "what?\n");
    String damaged = refusal("Ada\n");
    assertTrue(damaged.contains("line 3: found a line that is not JSON"), damaged);
  }

  private String refusal(String typed) {
    return String.valueOf(
        assertThrows(RunFolderException.class, () -> guided(typed, true)).getMessage());
  }

  @Test
  void aSignedRecordIsNeverWrittenOver() throws Exception {
    guided(PASSED, false);
    for (boolean resume : new boolean[] {false, true}) {
      assertThrows(RunFolderException.class, () -> guided(PASSED, resume));
    }
    Said said = islet("", "rehearse", file.toString(), "--out", folder.toString());
    assertEquals(2, said.code());
    assertTrue(said.out().contains("found a signed record, which would be lost"), said.out());
    assertEquals("Ada L.", record().get("name"));
  }

  /** The digest as the foot of the page tells how to make it, and by a change of one letter. */
  @Test
  void theDigestIsThatOfTheLinesBeforeItAndReplaySaysWhetherItFits() throws Exception {
    guided(PASSED, false);
    Path json = folder.resolve("record.json");
    String text = Files.readString(json);
    String content = text.substring(0, text.indexOf("  \"sha256\" : \"" + digest(text)));
    String reckoned =
        HexFormat.of()
            .formatHex(
                MessageDigest.getInstance("SHA-256")
                    .digest(content.getBytes(StandardCharsets.UTF_8)));
    assertEquals(digest(text), reckoned);
    assertTrue(Files.readString(folder.resolve("record.html")).contains("SHA-256 " + reckoned));
    assertEquals(Seal.State.SEALED, Seal.of(text.getBytes(StandardCharsets.UTF_8)));

    Said same = islet("", "replay", folder.toString());
    assertEquals(0, same.code(), same.out());
    assertTrue(same.out().contains("sealed   record.json"), same.out());

    Files.writeString(json, text.replace("all well", "all wall"));
    Said changed = islet("", "replay", folder.toString());
    assertEquals(1, changed.code());
    assertTrue(changed.out().contains("changed  record.json"), changed.out());

    Files.writeString(json, "{}\n");
    assertTrue(islet("", "replay", folder.toString()).out().contains("no digest stands"));
  }

  private static String digest(String json) {
    return json.substring(json.length() - 68, json.length() - 4);
  }

  @Test
  void thePageIsWellFormedAndSaysWhatItIsNot() throws Exception {
    guided(PASSED.replace("all well", "a < b & \"c\""), false);
    Path page = folder.resolve("record.html");
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    String words =
        factory.newDocumentBuilder().parse(page.toFile()).getDocumentElement().getTextContent();
    for (String told :
        List.of(
            "does not replace the tests that the authority having jurisdiction",
            "Backfeed",
            "Stored energy",
            "DC arcs",
            "Battery gas",
            "Lock out",
            "Read <it>",
            "a < b & \"c\"",
            "enter service",
            "300 s",
            "Carried out by: name, signature",
            "A. L.")) {
      assertTrue(words.contains(told), told + " is not in the record");
    }
  }

  @Test
  void optionsThatDoNotFitAreRefusedWithASentence() throws IOException {
    Path bare = place.resolve("bare.yaml");
    Files.writeString(bare, TEXT.substring(0, TEXT.indexOf("stops:")));
    String to = folder.toString();
    for (List<String> row :
        List.of(
            List.of("found no stops", "--guided", bare.toString()),
            List.of("found no --guided beside it", "--resume", file.toString()),
            List.of("found 2 scenarios", "--guided", file.toString(), bare.toString()),
            List.of("found json beside --guided", "--guided", "--format=json", file.toString()),
            List.of("found no answers to go on with", "--guided", "--resume", file.toString()))) {
      List<String> args = new java.util.ArrayList<>(List.of("rehearse", "--out", to));
      args.addAll(row.subList(1, row.size()));
      Said said = islet("", args.toArray(String[]::new));
      assertEquals(2, said.code(), said.out());
      assertTrue(said.out().contains(row.get(0)), said.out());
    }
    assertFalse(Files.exists(folder));
  }

  @Test
  void theCommandReadsWhatIsTypedLineByLine() throws IOException {
    Said said = islet(PASSED, "rehearse", "--guided", "--out", folder.toString(), file.toString());
    assertEquals(0, said.code(), said.out());
    assertEquals("A. L.", record().get("signature"));
  }
}
