package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import islet.bench.Signal;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * A recorded run as the page gets it over HTTP. Judged by the run folder's own files, read here
 * line by line.
 */
@LongTest
@Tag("apart")
@Timeout(120)
class RecordingTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  private static RecordedRun run;
  private static PageServer server;

  @BeforeAll
  static void start() throws Exception {
    run = RecordedRun.evening();
    Recording recording = Recording.read(run.folder());
    server =
        PageServer.start(
            0,
            Map.of(
                "/description.json", recording::description, "/recording.json", recording::json));
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  private static HttpResponse<String> ask(String path) throws IOException, InterruptedException {
    return HttpClient.newHttpClient()
        .send(
            HttpRequest.newBuilder(URI.create(server.url()).resolve(path)).build(),
            BodyHandlers.ofString());
  }

  private static JsonNode told(String path) throws IOException, InterruptedException {
    HttpResponse<String> answer = ask(path);
    assertEquals(200, answer.statusCode(), path);
    return JSON.readTree(answer.body());
  }

  private static List<String> texts(JsonNode list) {
    List<String> out = new ArrayList<>();
    list.forEach(item -> out.add(item.asText()));
    return out;
  }

  @Test
  void everyRowOfTheTraceIsToldDigitForDigitAtItsInstant() throws Exception {
    JsonNode told = told("/recording.json");
    assertEquals(run.names().subList(2, run.names().size()), texts(told.get("columns")));
    assertEquals(run.rows().size(), told.get("rows").size());
    assertEquals(run.rows().size(), told.get("rowsRecorded").asInt());
    assertEquals(1, told.get("every").asInt());
    double start = told.get("startAt").asDouble();
    for (int i = 0; i < run.rows().size(); i++) {
      String[] row = run.rows().get(i);
      JsonNode given = told.get("rows").get(i);
      assertEquals(Double.parseDouble(row[0]), (given.get(0).asDouble() - start) / 1_000, 1e-6);
      for (int c = 2; c < row.length; c++) {
        Signal signal = Signal.named(run.names().get(c)).orElseThrow();
        String text = given.get(c - 1).asText();
        if (signal.words().isEmpty()) {
          assertEquals(Double.parseDouble(row[c]), Double.parseDouble(text), signal.label());
        } else {
          assertEquals(row[c], signal.words().get(Integer.parseInt(text)), signal.label());
        }
      }
    }
  }

  @Test
  void everyEventIsToldWithItsSourceAndTheMarginsAreThoseOfTheVerdict() throws Exception {
    JsonNode told = told("/recording.json");
    List<String> events = new ArrayList<>();
    double start = told.get("startAt").asDouble();
    told.get("events")
        .forEach(
            e ->
                events.add(
                    Math.round(e.get("at").asDouble() - start)
                        + ","
                        + e.get("source").asText()
                        + ","
                        + e.get("kind").asText()));
    List<String> recorded =
        run.events().stream()
            .map(line -> line.split(",", -1))
            .map(f -> Math.round(Double.parseDouble(f[0]) * 1_000) + "," + f[2] + "," + f[3])
            .toList();
    assertEquals(recorded, events);

    JsonNode hazards = JSON.readTree(run.folder().resolve("verdict.json").toFile()).get("hazards");
    assertEquals(hazards.size(), told.get("margins").size());
    for (int i = 0; i < hazards.size(); i++) {
      JsonNode margin = told.get("margins").get(i);
      assertEquals(hazards.get(i).get("id"), margin.get("hazard"));
      assertEquals(hazards.get(i).get("worstMargin").asDouble(), margin.get("margin").asDouble());
      assertEquals(hazards.get(i).get("share").asDouble(), margin.get("share").asDouble());
      assertEquals(
          hazards.get(i).get("verdict").asText().equals("pass"),
          !margin.get("violated").asBoolean());
    }
  }

  @Test
  void thePageIsToldThatItIsARecordingAndMaySpeakToNobody() throws Exception {
    JsonNode told = told("/description.json");
    assertEquals("recording", told.get("mode").asText());
    assertFalse(told.get("bench").asBoolean());
    assertEquals("", told.get("mqtt").get("url").asText());
    for (String list : List.of("orders", "benchOrders", "faults", "events", "scenarios")) {
      assertEquals(0, told.get(list).size(), list);
    }
    String policy = ask("/").headers().firstValue("Content-Security-Policy").orElseThrow();
    assertTrue(policy.contains("connect-src 'self';"), policy);
  }

  @Test
  void aLongTraceIsThinnedBySoMuchAsItSaysAndKeepsAllRowsAroundEvents() throws Exception {
    int most = 600;
    JsonNode told = JSON.readTree(Recording.read(run.folder(), most).json());
    int every = told.get("every").asInt();
    double near = told.get("nearS").asDouble();
    double start = told.get("startAt").asDouble();
    assertTrue(every > 1, "nothing was thinned");
    assertTrue(told.get("rows").size() <= most + 1, told.get("rows").size() + " rows");
    Set<Long> kept = new TreeSet<>();
    told.get("rows").forEach(row -> kept.add(Math.round((row.get(0).asDouble() - start) * 1_000)));
    List<Double> events =
        run.events().stream().map(line -> Double.parseDouble(line.split(",", -1)[0])).toList();
    for (int i = 0; i < run.rows().size(); i++) {
      double at = Double.parseDouble(run.rows().get(i)[0]);
      boolean close = events.stream().anyMatch(event -> Math.abs(event - at) <= near);
      if (i % every == 0 || close) {
        assertTrue(kept.contains(Math.round(at * 1e6)), "the row at " + at + " s is missing");
      }
    }
  }
}
