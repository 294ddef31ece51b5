package islet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Signal;
import islet.bench.plug.Supervisors;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Guided rehearsals over the page's protocol, spoken by Java's own HTTP client. Judged by what was
 * sent, by the record that the same answers leave in the terminal, by RFC 9110's status codes and
 * the Fetch standard's headers (from memory).
 */
@Tag("apart")
@Timeout(60)
class GuidedPageTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Pattern ADDRESS = Pattern.compile("http://127\\.0\\.0\\.1:\\d+/");
  private static final Clock NOON =
      Clock.fixed(Instant.parse("2026-06-24T17:00:00Z"), ZoneOffset.UTC);

  private static final String TEXT =
      """
      title: Two stops
      site: SITE
      start: 2026-06-24T08:00
      duration: PT2M
      weather: { constant: { ghi: 500 W/m2, temperature: 20 degC } }
      battery: { soc: 0.8 }
      events:
        - { at: PT1M, utility: { outage: PT5M } }
      stops:
        - { at: PT30S, do: Read it, see: the tie closed, measure: [battery.voltage_V, tie.closed] }
        - { at: PT1M5S, do: Open the disconnect, see: the panel live, safety: Test dead. }
      """
          .replace("SITE", ROOT.resolve("config/sites/ferry-landing.yaml").toString());

  private static final String BEGIN = "{'do':'begin','who':'Ada'}";
  private static final String FIRST =
      "{'do':'answer','step':1,'verdict':'pass','measured':['52.40','true'],"
          + "'remark':'all well','who':'Ada'}";
  private static final String SECOND =
      "{'do':'answer','step':2,'verdict':'fail','measured':[],'remark':'dark','who':'Bo'}";
  private static final String SIGN = "{'do':'sign','name':'Ada L.','signature':'A. L.'}";
  private static final String LEAVE = "{'do':'leave'}";

  private final HttpClient client = HttpClient.newHttpClient();
  private final Path place;
  private final Path folder;
  private final Path file;
  private Thread thread = new Thread(() -> {});
  private CompletableFuture<Integer> code = new CompletableFuture<>();
  private StringWriter said = new StringWriter();
  private String url = "";

  GuidedPageTest(@TempDir Path place) throws IOException {
    this.place = place;
    folder = place.resolve("run");
    file = place.resolve("stops.yaml");
    Files.writeString(file, TEXT);
  }

  @AfterEach
  void stop() throws InterruptedException {
    thread.interrupt();
    thread.join();
  }

  private void start(boolean resume) throws Exception {
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    RunFolder.checkGuided(folder, resume);
    said = new StringWriter();
    code = new CompletableFuture<>();
    PrintWriter print = new PrintWriter(said);
    thread =
        new Thread(
            () -> {
              try (StopSignal signal = new StopSignal()) {
                code.complete(
                    new GuidedPage(scenario, Supervisors.OWN, folder, print, NOON)
                        .run(0, resume, signal));
              } catch (Exception e) {
                code.completeExceptionally(e);
              }
            });
    thread.start();
    Matcher address = ADDRESS.matcher(said.toString());
    while (!address.find()) {
      assertTrue(thread.isAlive(), said.toString());
      Thread.onSpinWait();
      address = ADDRESS.matcher(said.toString());
    }
    url = address.group();
  }

  private HttpResponse<String> get(String path) throws IOException, InterruptedException {
    return client.send(
        HttpRequest.newBuilder(URI.create(url + path)).build(), BodyHandlers.ofString());
  }

  private JsonNode now() throws IOException, InterruptedException {
    return JSON.readTree(get("rehearsal.json").body());
  }

  /** As a page does: asks until it stands so. */
  private JsonNode until(String phase, int answered) throws Exception {
    JsonNode now = now();
    while (!now.get("phase").asText().equals(phase) || now.get("answered").size() != answered) {
      TimeUnit.MILLISECONDS.sleep(5);
      now = now();
    }
    return now;
  }

  private HttpResponse<String> send(String body, String... headers) throws Exception {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create(url + "answer.json"))
            .headers(headers)
            .POST(HttpRequest.BodyPublishers.ofString(body.replace('\'', '"')))
            .build();
    return client.send(request, BodyHandlers.ofString());
  }

  private HttpResponse<String> send(String body) throws Exception {
    String token = now().get("token").asText();
    return send(body, "Islet-Token", token, "Content-Type", "application/json");
  }

  private void taken(String body) throws Exception {
    HttpResponse<String> answer = send(body);
    assertEquals(200, answer.statusCode(), answer.body());
  }

  private void refused(int status, String sentence, String body) throws Exception {
    HttpResponse<String> answer = send(body);
    assertEquals(status, answer.statusCode(), answer.body());
    String told = JSON.readTree(answer.body()).get("sentence").asText();
    assertTrue(told.contains(sentence), told);
  }

  @Test
  void theSameAnswersLeaveTheSameRecordAsInTheTerminal() throws Exception {
    start(false);
    until("BEGIN", 0);
    taken(BEGIN);
    JsonNode stop = until("STOP", 0).get("stop").get(0);
    assertEquals("the tie closed", stop.get("see").asText());
    assertEquals("GRID_PRESENT", stop.get("mode").asText());
    taken(FIRST);
    stop = until("STOP", 1).get("stop").get(0);
    assertEquals("Test dead.", stop.get("safety").asText());
    taken(SECOND.replace("Bo", "Ada"));
    assertEquals("pass", until("SIGN", 2).get("run").asText());
    assertEquals(404, get("record.html").statusCode(), "nothing is signed yet");
    taken(SIGN);
    JsonNode record = until("SIGNED", 2).get("record").get(0);
    taken(LEAVE);
    assertEquals(1, code.get(), "a failed step");

    Path typed = place.resolve("typed");
    PrintWriter nowhere = new PrintWriter(new StringWriter());
    new GuidedRehearsal(
            ScenarioReader.read(file, OptionalLong.empty()),
            Supervisors.OWN,
            typed,
            new StringReader("Ada\np\n52.40\ntrue\nall well\nf\ndark\nAda L.\nA. L.\n"),
            nowhere,
            nowhere,
            NOON)
        .run(false);
    for (String name : List.of("record.json", "record.html", "trace.csv", "verdict.json")) {
      assertArrayEquals(
          Files.readAllBytes(typed.resolve(name)), Files.readAllBytes(folder.resolve(name)), name);
    }
    assertTrue(
        Files.readString(folder.resolve("record.json")).contains(record.get("sha256").asText()));
    assertFalse(Files.exists(RunFolder.answers(folder)), "the answers are in the record now");
  }

  @Test
  void aWrongAnswerIsToldAndLeavesNothing() throws Exception {
    start(false);
    until("BEGIN", 0);
    refused(422, "Found nothing; allowed is a name", BEGIN.replace("Ada", " "));
    refused(409, "does not stand at step 1", FIRST);
    taken(BEGIN);
    until("STOP", 0);
    refused(422, "Found \"maybe\"; allowed is one of pass, fail, skip", of("pass", "maybe"));
    refused(422, "Found nothing; allowed is one of pass, fail, skip", of("pass", ""));
    refused(422, "Found \"fifty\"; allowed is a number", of("52.40", "fifty"));
    refused(422, "allowed is one of false, true, or nothing", of("'true'", "'open'"));
    refused(422, "Found 1 measured values; allowed are 2", of(",'true'", ""));
    refused(422, "allowed is a sentence or two", of("pass", "fail").replace("all well", ""));
    refused(422, "allowed is a reason", of("pass", "skip").replace("all well", " \\t"));
    refused(422, "allowed are at most 1000", of("all well", "x".repeat(1_001)));
    refused(422, "Found nothing; allowed is a name", of("Ada", ""));
    refused(400, "allowed in the field step is 1 to 2", of("1", "3"));
    refused(400, "allowed in the field step is 1 to 2", of("1", "1.5"));
    refused(400, "Found no text in the field remark", of("'all well'", "7"));
    refused(400, "Found no list of texts in the field measured", of("'52.40'", "52.40"));
    refused(400, "allowed are begin, answer, sign, leave", "{'do':'erase'}");
    refused(400, "allowed is a JSON object", "[]");
    refused(400, "allowed is a JSON object", "");
    refused(400, "allowed is a JSON object", "{'do'");
    refused(409, "does not stand at step 2", SECOND);
    refused(409, "a run that is not over", SIGN);
    refused(409, "no signed record", LEAVE);
    assertEquals(1, Files.readAllLines(RunFolder.answers(folder)).size(), "the head alone");
    assertEquals(0, now().get("answered").size());
  }

  private static String of(String what, String instead) {
    return FIRST.replaceFirst(Pattern.quote(what), Matcher.quoteReplacement(instead));
  }

  @Test
  void aSecondPressAndAPageLoadedAnewDoNoHarm() throws Exception {
    start(false);
    until("BEGIN", 0);
    taken(BEGIN);
    taken(BEGIN);
    refused(409, "that Ada has begun already", BEGIN.replace("Ada", "Bo"));
    JsonNode before = until("STOP", 0);
    assertEquals(before, now(), "a page that is loaded anew sees the same");
    taken(FIRST);
    taken(FIRST);
    refused(409, "step 1 is answered already (pass, Ada)", of("all well", "not well"));
    JsonNode after = until("STOP", 1);
    assertEquals("Ada", after.get("who").asText());
    assertEquals("all well", after.get("answered").get(0).get("remark").asText());
    assertEquals(2, Files.readAllLines(RunFolder.answers(folder)).size());
    taken(SECOND);
    until("SIGN", 2);
    taken(SIGN);
    taken(SIGN);
    refused(409, "Ada L. has signed already", SIGN.replace("Ada L.", "Bo"));
    until("SIGNED", 2);
    HttpResponse<String> paper = get("record.html");
    assertEquals(Files.readString(folder.resolve("record.html")), paper.body());
    String policy = paper.headers().firstValue("Content-Security-Policy").orElseThrow();
    assertTrue(policy.startsWith("default-src 'none'; style-src 'unsafe-inline';"), policy);
    assertEquals(Files.readString(folder.resolve("record.json")), get("record.json").body());
  }

  @Test
  void whatWasAnsweredBeforeItWasBrokenOffIsGoneOnWith() throws Exception {
    start(false);
    until("BEGIN", 0);
    taken(BEGIN);
    until("STOP", 0);
    taken(FIRST);
    until("STOP", 1);
    thread.interrupt();
    assertEquals(1, code.get());
    assertTrue(said.toString().contains("1 of 2 steps are answered and kept"), said.toString());

    start(true);
    assertEquals("all well", until("BEGIN", 1).get("answered").get(0).get("remark").asText());
    taken("{'do':'begin','who':'Bo'}");
    JsonNode stop = until("STOP", 1).get("stop").get(0);
    assertEquals(2, stop.get("step").asInt());
    taken(SECOND);
    until("SIGN", 2);
    taken(SIGN);
    until("SIGNED", 2);
    JsonNode steps = JSON.readTree(Files.readAllBytes(folder.resolve("record.json"))).get("steps");
    assertEquals("Ada", steps.get(0).get("who").asText());
    assertEquals("Bo", steps.get(1).get("who").asText());
  }

  @Test
  void answersToAnotherRunAreNotGoneOnWith() throws Exception {
    start(false);
    until("BEGIN", 0);
    thread.interrupt();
    code.get();
    Files.writeString(file, TEXT.replace("soc: 0.8 }", "soc: 0.7 }"));
    Scenario other = ScenarioReader.read(file, OptionalLong.empty());
    try (StopSignal signal = new StopSignal()) {
      GuidedPage page =
          new GuidedPage(other, Supervisors.OWN, folder, new PrintWriter(new StringWriter()), NOON);
      RunFolderException told =
          assertThrows(RunFolderException.class, () -> page.run(0, true, signal));
      assertTrue(String.valueOf(told.getMessage()).contains("answers to another case"));
    }
  }

  /** What the site shows is told as the devices say it, and as it is. */
  @Test
  void aStopTellsThePlantsValuesAndTheDevicesWords() throws Exception {
    start(false);
    until("BEGIN", 0);
    taken(BEGIN);
    until("STOP", 0);
    taken(FIRST);
    JsonNode stop = until("STOP", 1).get("stop").get(0);
    JsonNode plant = stop.get("plant");
    assertEquals(Signal.all().size(), plant.size());
    assertEquals("utility.live", plant.get(2).get("signal").asText());
    assertEquals("false", plant.get(2).get("value").asText());
    boolean open = false;
    for (JsonNode heard : stop.get("wire")) {
      if (heard.get("topic").asText().equals("tie/telemetry")) {
        open = JSON.readTree(heard.get("text").asText()).get("closed").asText().equals("false");
      }
    }
    assertTrue(open, "5 s after the utility has gone the tie says that it is open: " + stop);
  }

  @Test
  void onlyItsOwnPageMayAnswer() throws Exception {
    start(false);
    String token = until("BEGIN", 0).get("token").asText();
    for (List<String> row :
        List.of(
            List.of("403", "wrong", "Sec-Fetch-Site", "same-origin", "application/json"),
            List.of("403", token, "Origin", "http://evil.example", "application/json"),
            List.of("403", token, "Origin", "null", "application/json"),
            List.of("403", token, "Sec-Fetch-Site", "cross-site", "application/json"),
            List.of("403", token, "Sec-Fetch-Site", "same-site", "application/json"),
            List.of("415", token, "Sec-Fetch-Site", "same-origin", "text/plain"))) {
      assertEquals(Integer.parseInt(row.get(0)), from(row).statusCode(), row.toString());
      assertEquals("BEGIN", now().get("phase").asText(), row.toString());
    }
    assertEquals(403, send(BEGIN, "Content-Type", "application/json").statusCode(), "no token");
    String own = url.substring(0, url.length() - 1);
    assertEquals(200, from(List.of("200", token, "Origin", own, "application/json")).statusCode());
    assertEquals("Ada", now().get("who").asText());
  }

  private HttpResponse<String> from(List<String> row) throws Exception {
    return send(
        BEGIN, "Islet-Token", row.get(1), row.get(2), row.get(3), "Content-Type", row.get(4));
  }

  @Test
  void nothingLongIsReadAndNothingIsTakenElsewhere() throws Exception {
    start(false);
    until("BEGIN", 0);
    assertEquals(413, send("x".repeat(70_000)).statusCode());
    assertEquals(404, get("answer.json").statusCode());
    HttpRequest elsewhere =
        HttpRequest.newBuilder(URI.create(url + "rehearsal.json"))
            .POST(HttpRequest.BodyPublishers.noBody())
            .build();
    assertEquals(405, client.send(elsewhere, BodyHandlers.ofString()).statusCode());
    assertTrue(get("").body().contains("rehearsal.js"), "its own page stands at the root");
  }

  @Test
  void optionsThatDoNotFitAreRefusedAndATakenPortLeavesNothing() throws IOException {
    String to = folder.toString();
    String name = file.toString();
    assertRefused(2, "--page: found no --guided", "rehearse", "--page", "0", name, "--out", to);
    assertRefused(
        2,
        "--page: found \"a\"; allowed is a whole number from 0 to 65535",
        "rehearse",
        "--guided",
        "--page",
        "a",
        name,
        "--out",
        to);
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      assertRefused(
          3,
          "choose another with --page",
          "rehearse",
          "--guided",
          "--page",
          String.valueOf(taken.getLocalPort()),
          name,
          "--out",
          to);
    }
    assertFalse(Files.exists(folder));
  }

  private static void assertRefused(int exit, String sentence, String... args) {
    StringWriter out = new StringWriter();
    PrintWriter print = new PrintWriter(out);
    assertEquals(exit, Main.run(args, print, print), out.toString());
    assertTrue(out.toString().contains(sentence), out.toString());
  }
}
