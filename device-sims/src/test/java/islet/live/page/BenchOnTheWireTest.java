package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import islet.bench.EventLog;
import islet.bench.Hazards;
import islet.bench.Inbox;
import islet.bench.Judges;
import islet.bench.OrderNote;
import islet.bench.Signal;
import islet.bench.plug.Supervisors;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.BenchCommand;
import islet.contract.BenchMargin;
import islet.contract.BenchOrder;
import islet.contract.BenchState;
import islet.contract.BenchTelemetry;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.RegulatorTelemetry;
import islet.contract.RunState;
import islet.contract.SupervisorCommand;
import islet.contract.Topics;
import islet.live.EmbeddedBroker;
import islet.live.Listeners;
import islet.live.LiveRun;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SiteOrScenario;
import islet.live.SurroundingsException;
import islet.live.account.Account;
import islet.live.account.Accounts;
import islet.live.account.Role;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.net.http.WebSocket;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * The whole of what the page has: server, WebSocket with the secret, live runs on the embedded
 * broker. A client by WebSocket stands for the page. Judged by what outside clients are told and
 * let do, and by arithmetic on the instants that the messages carry. One session serves all tests;
 * each leaves it running.
 */
@LongTest
@Tag("apart")
@Timeout(120)
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class BenchOnTheWireTest {

  private static final Path SCENARIOS =
      Path.of(System.getProperty("islet.root"), "config", "scenarios");
  private static final Path FIRST = SCENARIOS.resolve("evening-outage.yaml");
  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);
  private static final String SECRET = Accounts.secret();
  private static final long SCAN_MICROS = 100_000;
  private static final ObjectMapper JSON = new ObjectMapper();

  private EmbeddedBroker broker;
  private final Repertoire repertoire = new Repertoire(FIRST);

  private final Topics topics = new Topics("ferry-landing");
  private Topics bench = topics;
  private final Inbox heard = new Inbox();
  private final List<String> verdicts = new CopyOnWriteArrayList<>();
  private Optional<LiveSession> session = Optional.empty();
  private CompletableFuture<Void> playing = CompletableFuture.completedFuture(null);
  private Optional<PahoBroker> browser = Optional.empty();
  private Optional<PageServer> server = Optional.empty();
  private Optional<Port> page = Optional.empty();
  private long seq;

  @BeforeAll
  void open() throws Exception {
    Account own =
        new Account("page", Set.of(Role.OPERATOR, Role.BENCH), "", Accounts.hashOfSecret(SECRET));
    broker =
        EmbeddedBroker.start(
            new Listeners(0, EmbeddedBroker.freePort()),
            Optional.empty(),
            Optional.of(Accounts.of(List.of(own))));
    play();
  }

  private void play() throws Exception {
    SignIn signIn = SignIn.byToken(broker.webSocketUrl(), "page", SECRET);
    LiveSession playingOne =
        new LiveSession(
            SiteOrScenario.read(FIRST),
            Repertoire.nameOf(FIRST),
            repertoire,
            Supervisors.OWN,
            broker.url(),
            Access.NONE,
            1,
            new Listening());
    session = Optional.of(playingOne);
    Describer describer = new Describer(signIn, repertoire, new Lessons(List.of()));
    server =
        Optional.of(
            PageServer.start(
                0,
                URI.create(signIn.url()),
                Map.of(
                    "/description.json", () -> describer.json(playingOne.present()),
                    "/history.json", () -> HistoryJson.of(playingOne))));
    playing = CompletableFuture.runAsync(() -> playOut(playingOne));
    JsonNode description = description();
    Access secret =
        Access.NONE.as(
            description.at("/mqtt/user").asText(),
            description.at("/mqtt/password").asText().getBytes(StandardCharsets.UTF_8));
    browser =
        Optional.of(
            new PahoBroker(description.at("/mqtt/url").asText(), PahoSettings.USUAL.with(secret)));
    Port opened = browser.orElseThrow().connect("page-in-test", NO_WILL, heard);
    page = Optional.of(opened);
    opened.subscribe("islet/v1/#", 1);
    await("the run", () -> state(s -> s.state() == RunState.RUNNING));
    await(
        "its first word on the plant",
        () -> last(Device.BENCH, Kind.TELEMETRY, BenchTelemetry.LAYOUT).isPresent());
  }

  @AfterAll
  void stop() {
    session.ifPresent(LiveSession::stop);
    playing.join();
    browser.ifPresent(PahoBroker::close);
    server.ifPresent(PageServer::close);
    broker.close();
  }

  private final class Listening implements LiveSession.Audience {
    @Override
    public void begins(LiveRun run, LiveSession.Present present) {}

    @Override
    public void happens(int site, EventLog.Row row) {}

    @Override
    public void ended(LiveRun run, List<Judges> judges) {
      verdicts.add("ended");
    }

    @Override
    public void leaves(LiveRun run, List<Judges> judges) {
      verdicts.add(judges.get(0).record("test").result().scenario());
    }
  }

  private JsonNode description() throws Exception {
    return get("/description.json");
  }

  private JsonNode get(String path) throws Exception {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create(server.orElseThrow().url()).resolve(path)).build();
    return JSON.readTree(
        HttpClient.newHttpClient().send(request, BodyHandlers.ofByteArray()).body());
  }

  private static void await(String what, BooleanSupplier so) throws InterruptedException {
    for (int i = 0; i < 3_000; i++) {
      if (so.getAsBoolean()) {
        return;
      }
      Thread.sleep(5);
    }
    fail(what + " did not come within 15 s");
  }

  private <T> Optional<T> last(Device device, Kind kind, Layout<T> layout) {
    List<Message> all = heard.messages();
    for (int i = all.size() - 1; i >= 0; i--) {
      Message message = all.get(i);
      if (message.topic().equals(bench.of(device, kind)) && message.payload().length > 0) {
        try {
          return Optional.of(layout.decode(message.payload()));
        } catch (MalformedException e) {
          return fail(e);
        }
      }
    }
    return Optional.empty();
  }

  private boolean state(Predicate<BenchState> such) {
    return last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).filter(such).isPresent();
  }

  private long siteMicros() {
    return last(Device.BENCH, Kind.TELEMETRY, BenchTelemetry.LAYOUT)
        .map(BenchTelemetry::at)
        .orElse(0L);
  }

  private BenchTelemetry truth() {
    return last(Device.BENCH, Kind.TELEMETRY, BenchTelemetry.LAYOUT).orElseThrow();
  }

  private Ack order(BenchOrder order, double number, String text) throws Exception {
    long asked = ++seq;
    byte[] payload =
        BenchCommand.LAYOUT.encode(new BenchCommand(asked, siteMicros(), order, number, text));
    return ask(bench.of(Device.BENCH, Kind.COMMAND), payload, asked);
  }

  private Ack ask(String topic, byte[] payload, long asked) throws Exception {
    byte[] correlation = Long.toString(asked).getBytes(StandardCharsets.US_ASCII);
    String ackTopic = topic.replace("/command", "/ack");
    page.orElseThrow().publish(new Message(topic, payload, 1, false, 0, ackTopic, correlation));
    await(
        "the answer to " + new String(payload, StandardCharsets.UTF_8),
        () -> answer(ackTopic, correlation).isPresent());
    return answer(ackTopic, correlation).orElseThrow();
  }

  private Optional<Ack> answer(String topic, byte[] correlation) {
    for (Message message : heard.messages()) {
      if (message.topic().equals(topic) && Arrays.equals(message.correlation(), correlation)) {
        try {
          return Optional.of(Ack.LAYOUT.decode(message.payload()));
        } catch (MalformedException e) {
          return fail(e);
        }
      }
    }
    return Optional.empty();
  }

  private void done(BenchOrder order, double number, String text) throws Exception {
    Ack ack = order(order, number, text);
    assertEquals(AckResult.DONE, ack.result(), order + ": " + ack.reason());
    assertEquals(seq, ack.command());
  }

  private void refused(BenchOrder order, double number, String text, String because)
      throws Exception {
    Ack ack = order(order, number, text);
    assertEquals(AckResult.REFUSED, ack.result(), order + " " + text);
    assertTrue(ack.reason().contains(because), ack.reason());
  }

  /** What another page in the same browser could do, since it cannot read the description. */
  @Test
  void byWebSocketOnlyThePagesSecretOpens() {
    Duration patience = Duration.ofSeconds(5);
    for (Access stranger :
        List.of(
            Access.NONE,
            Access.NONE.as("page", new byte[0]),
            Access.NONE.as("page", Accounts.secret().getBytes(StandardCharsets.UTF_8)),
            Access.NONE.as("admin", SECRET.getBytes(StandardCharsets.UTF_8)))) {
      assertThrows(
          BrokerUnreachableException.class,
          () -> PahoBroker.probe(broker.webSocketUrl(), stranger, patience));
    }
    // Over TCP, which no page can speak, everybody of this machine is let in as before.
    assertDoesNotThrow(() -> PahoBroker.probe(broker.url(), Access.NONE, patience));
  }

  /**
   * A stranger's page opens a WebSocket as a browser would, naming its own origin. The broker lets
   * the handshake pass and then turns the client away: reason code 0x86, bad user name or password
   * (OASIS MQTT Version 5.0, 3.2.2.2, from memory).
   */
  @Test
  void aStrangersPageGetsNoFurtherThanTheHandshake() throws Exception {
    CompletableFuture<byte[]> answer = new CompletableFuture<>();
    WebSocket socket =
        HttpClient.newHttpClient()
            .newWebSocketBuilder()
            .subprotocols("mqtt")
            .header("Origin", "http://evil.example")
            .buildAsync(URI.create(broker.webSocketUrl()), new FirstAnswer(answer))
            .join();
    byte[] connect = {0x10, 14, 0, 4, 'M', 'Q', 'T', 'T', 5, 2, 0, 60, 0, 0, 1, 'x'};
    socket.sendBinary(ByteBuffer.wrap(connect), true).join();
    byte[] connack = answer.get(10, TimeUnit.SECONDS);
    assertEquals(0x20, connack[0], "a CONNACK");
    assertEquals((byte) 0x86, connack[3]);
  }

  private record FirstAnswer(CompletableFuture<byte[]> answer) implements WebSocket.Listener {
    @Override
    public CompletionStage<?> onBinary(WebSocket socket, ByteBuffer data, boolean last) {
      byte[] bytes = new byte[data.remaining()];
      data.get(bytes);
      answer.complete(bytes);
      return CompletableFuture.completedFuture(null);
    }

    @Override
    public void onError(WebSocket socket, Throwable error) {
      answer.completeExceptionally(error);
    }
  }

  @Test
  void thePageMayAskButNeverSpeakForADevice() throws Exception {
    Port port = page.orElseThrow();
    long before = browser.orElseThrow().counts().refused();
    port.publish(Message.of(topics.of(Device.TIE, Kind.COMMAND), new byte[] {'x'}, 1, false));
    port.publish(Message.of(topics.of(Device.TIE, Kind.TELEMETRY), new byte[] {'x'}, 1, false));
    Ack ack = ordered(OperatorOrder.HOLD, "classroom", 0);
    assertEquals(AckResult.ACCEPTED, ack.result(), ack.reason());
    assertEquals(before + 2, browser.orElseThrow().counts().refused());
    assertTrue(heard.messages().stream().noneMatch(m -> m.text().equals("x")));
  }

  @Test
  void theSupervisorTakesEveryTimedOrderAsDescribedAndNothingLonger() throws Exception {
    for (OperatorOrder order : OperatorOrder.values()) {
      OrderNote note = OrderNote.of(order);
      if (note.longestS() == 0) {
        continue;
      }
      String key = note.keys().isEmpty() ? "storm" : note.keys().get(0);
      assertEquals(AckResult.ACCEPTED, ordered(order, key, note.usualS()).result());
      assertEquals(AckResult.ACCEPTED, ordered(order, key, note.longestS()).result());
      if (order != OperatorOrder.WARN) {
        // A week is also the longest that the message itself can say.
        assertEquals(AckResult.REFUSED, ordered(order, key, note.longestS() + 1).result());
      }
      assertEquals(AckResult.REFUSED, ordered(order, "", note.usualS()).result(), "needs a key");
    }
    assertEquals(AckResult.ACCEPTED, ordered(OperatorOrder.END_OVERRIDE, "", 0).result());
    assertEquals(AckResult.ACCEPTED, ordered(OperatorOrder.ALL_CLEAR, "", 0).result());
  }

  private Ack ordered(OperatorOrder order, String key, double forS) throws Exception {
    long asked = ++seq;
    SupervisorCommand command = new SupervisorCommand(asked, siteMicros(), 10, order, key, forS);
    return ask(
        topics.of(Device.SUPERVISOR, Kind.COMMAND),
        SupervisorCommand.LAYOUT.encode(command),
        asked);
  }

  @Test
  void whilePausedNothingHappensAndAStepIsOneScan() throws Exception {
    done(BenchOrder.PAUSE, 0, "");
    await("the pause", () -> state(s -> s.state() == RunState.PAUSED));
    long stood = last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).orElseThrow().at();
    done(BenchOrder.EVENT, 0, "{\"utility\":{\"outage\":\"PT5M\"}}");
    Thread.sleep(1_200);
    assertEquals(stood, siteMicros(), "site time stands still");
    assertTrue(truth().utilityLive(), "an event waits until time goes on");
    assertTrue(state(s -> s.achievedSpeed() == 0));

    for (int step = 1; step <= 3; step++) {
      long grid = (stood / SCAN_MICROS + step) * SCAN_MICROS;
      done(BenchOrder.STEP, 0, "");
      await("step " + step, () -> state(s -> s.at() == grid / 1_000 * 1_000));
      assertTrue(state(s -> s.state() == RunState.PAUSED));
    }
    assertFalse(truth().utilityLive());
    done(BenchOrder.GO_ON, 0, "");
    await("the island", () -> truth().phase().equals("CARRY") && truth().pccPowerW() == 0);
    // Without going on the outage would last five minutes.
    done(BenchOrder.RESTORE, 0, "");
    await("the utility", () -> truth().utilityLive());
  }

  @Test
  void whoComesLaterIsToldWhatHasBeen() throws Exception {
    done(BenchOrder.BOOKMARK, 0, "seen");
    long now = siteMicros();
    await("a row of now", () -> siteMicros() > now + 600_000);
    JsonNode past = get("/history.json");
    assertEquals(description().get("run").asLong(), past.get("run").asLong());
    List<String> columns = new ArrayList<>();
    past.get("columns").forEach(column -> columns.add(column.asText()));
    assertEquals(Signal.all().stream().map(Signal::label).toList(), columns);
    double before = 0;
    for (JsonNode row : past.get("rows")) {
      assertEquals(columns.size() + 1, row.size());
      assertTrue(row.get(0).asDouble() > before, "rows by time");
      before = row.get(0).asDouble();
    }
    assertTrue(before > now / 1_000.0, "up to now");
    JsonNode row = past.get("rows").get(past.get("rows").size() - 1);
    assertEquals(
        truth().batterySoc(), row.get(columns.indexOf("battery.soc") + 1).asDouble(), 0.01);
    boolean found = false;
    for (JsonNode event : past.get("events")) {
      found |= event.get("kind").asText().equals("bookmark");
    }
    assertTrue(found, "the bookmark is there");
  }

  /** Another session on the same broker: a site of another name is no matter to the first. */
  @Test
  void atItsEndTheRunStandsAndOnlyAnotherOneCanFollow(@TempDir Path folder) throws Exception {
    Path scenario = folder.resolve("short.yaml");
    Path site = SCENARIOS.resolveSibling("sites").resolve("breakwater-beacon.yaml");
    Files.writeString(
        scenario,
        """
        title: Two seconds at the beacon
        site: %s
        start: 2026-05-12T09:00
        duration: PT2S
        seed: 7
        weather: { clear-sky: { temperature: 15 degC } }
        battery: { soc: 0.85 }
        """
            .formatted(site.toAbsolutePath()));
    verdicts.clear();
    LiveSession shortOne =
        new LiveSession(
            SiteOrScenario.read(scenario),
            "short",
            new Repertoire(scenario),
            Supervisors.OWN,
            broker.url(),
            Access.NONE,
            1,
            new Listening());
    CompletableFuture<Void> played = CompletableFuture.runAsync(() -> playOut(shortOne));
    bench = new Topics("breakwater-beacon");
    await("its end", () -> state(s -> s.state() == RunState.ENDED));
    assertTrue(state(s -> s.at() - s.startAt() == 2_000_000 && s.at() == s.endAt()));
    refused(BenchOrder.GO_ON, 0, "", "The run is over");
    refused(BenchOrder.STEP, 0, "", "The run is over");
    refused(BenchOrder.PAUSE, 0, "", "The run is over");
    refused(BenchOrder.RESTORE, 0, "", "The run is over");
    refused(BenchOrder.EVENT, 0, "{\"sky\":{\"cloud\":0,\"for\":\"PT1S\"}}", "The run is over");
    done(BenchOrder.BACK, 0, "");
    await("the second end", () -> state(s -> s.run() == 2 && s.state() == RunState.ENDED));
    shortOne.stop();
    played.join();
    bench = topics;
    String told = "Two seconds at the beacon";
    assertEquals(List.of("ended", told, "ended", told), verdicts);
  }

  private static void playOut(LiveSession session) {
    try {
      session.run();
    } catch (SurroundingsException e) {
      throw new IllegalStateException(e);
    }
  }

  /**
   * The balance of the emergency panel: what is asked for more is drawn, within the sag of a step.
   */
  @Test
  void aCloudAndALoadStepShowInThePlantAndEndAgain() throws Exception {
    double sun = truth().pvAvailableW();
    double load = truth().criticalPowerW();
    done(BenchOrder.EVENT, 0, "{\"sky\":{\"cloud\":0.25,\"for\":\"PT10M\"}}");
    await("the shade", () -> Math.abs(truth().pvAvailableW() / sun - 0.25) < 0.02);
    done(BenchOrder.EVENT, 0, "{\"load\":{\"loadStep\":\"400 W\",\"for\":\"PT10M\"}}");
    await("the load", () -> Math.abs(truth().criticalPowerW() - load - 400) < 20);
    done(BenchOrder.RESTORE, 0, "");
    await(
        "the sun and the load as before",
        () ->
            Math.abs(truth().pvAvailableW() / sun - 1) < 0.05
                && Math.abs(truth().criticalPowerW() - load) < 20);
    refused(BenchOrder.EVENT, 0, "{\"sky\":{\"cloud\":2,\"for\":\"PT1M\"}}", "allowed is 0 to 1");
  }

  @Test
  void speedBookmarkAndMarginsAreTold() throws Exception {
    done(BenchOrder.SPEED, 20, "");
    await("the speed", () -> state(s -> s.speed() == 20 && Math.abs(s.achievedSpeed() - 20) < 3));
    refused(BenchOrder.SPEED, 0, "", "allowed is 0.01 to 1000");
    done(BenchOrder.BOOKMARK, 0, "the fuse");
    await("the bookmark", () -> state(s -> s.bookmark().equals("the fuse")));
    refused(BenchOrder.BOOKMARK, 0, " ", "allowed are 1 to 64");
    Set<String> hazards = Set.copyOf(Hazards.IDS);
    await(
        "a margin of each hazard",
        () ->
            heard.messages().stream()
                .filter(m -> m.topic().equals(topics.of(Device.BENCH, Kind.MARGIN)))
                .map(BenchOnTheWireTest::hazard)
                .collect(Collectors.toSet())
                .equals(hazards));
    done(BenchOrder.SPEED, 1, "");
  }

  /** The wait of a return is what has passed since the utility is back, second by second. */
  @Test
  void whatIsLeftNowIsToldBesideTheWorst() throws Exception {
    done(BenchOrder.EVENT, 0, "{\"utility\":{\"outage\":\"PT1S\"}}");
    await("the island", () -> truth().phase().equals("CARRY"));
    await("the return", () -> truth().utilityLive());
    // At the very instant of the return it tells for how long the utility has been gone.
    await(
        "a margin",
        () ->
            margin("early-return")
                .filter(m -> m.presentDetail().contains("the utility has held"))
                .isPresent());
    BenchMargin first = margin("early-return").orElseThrow();
    assertEquals("s", first.presentUnit());
    assertTrue(first.presentMargin() < 0, "a return now would be early");
    assertTrue(first.presentDetail().startsWith("If the tie closed now"), first.presentDetail());
    await("the next", () -> margin("early-return").orElseThrow().seq() > first.seq());
    BenchMargin next = margin("early-return").orElseThrow();
    assertEquals(
        (next.at() - first.at()) / 1e6, next.presentMargin() - first.presentMargin(), 0.002);
    assertFalse(margin("backfeed").orElseThrow().present(), "nothing is fed");
    assertTrue(margin("overcharge").orElseThrow().present());
    anew();
  }

  private void anew() throws Exception {
    long run = last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).orElseThrow().run();
    done(BenchOrder.BACK, 0, "");
    await("the next run", () -> runs(run + 1));
  }

  private Optional<BenchMargin> margin(String hazard) {
    List<Message> all = heard.messages();
    for (int i = all.size() - 1; i >= 0; i--) {
      if (all.get(i).topic().equals(topics.of(Device.BENCH, Kind.MARGIN))
          && hazard(all.get(i)).equals(hazard)) {
        try {
          return Optional.of(BenchMargin.LAYOUT.decode(all.get(i).payload()));
        } catch (MalformedException e) {
          return fail(e);
        }
      }
    }
    return Optional.empty();
  }

  private static String hazard(Message message) {
    try {
      return BenchMargin.LAYOUT.decode(message.payload()).hazard();
    } catch (MalformedException e) {
      return fail(e);
    }
  }

  @Test
  void whatCannotBeDoneIsRefusedWithItsReason() throws Exception {
    refused(BenchOrder.EVENT, 0, "{\"utility\":{\"sag\":3,\"for\":\"PT1S\"}}", "allowed is 0 to 1");
    refused(BenchOrder.EVENT, 0, "what a day", "allowed is fields");
    refused(
        BenchOrder.EVENT,
        0,
        "{\"fault\":{\"kind\":\"device-link-lost\",\"device\":\"tie\"}}",
        "Links are real here");
    refused(BenchOrder.EVENT, 0, "{\"operator\":\"reset\"}", "supervisor/command");
    for (String name :
        List.of("", "../sites/ferry-landing", "/etc/passwd", "evening-outage.yaml")) {
      refused(BenchOrder.LOAD, 0, name, "Found no scenario or site");
    }
    refused(BenchOrder.LOAD, 0, "long-outage-that-is-not", "Found no scenario or site");
    byte[] half = "{\"seq\":77,\"order\":\"PAUSE\"}".getBytes(StandardCharsets.UTF_8);
    Ack ack = ask(topics.of(Device.BENCH, Kind.COMMAND), half, 77_000);
    assertEquals(AckResult.REFUSED, ack.result());
    assertTrue(ack.reason().contains("the field at is missing"), ack.reason());
    assertTrue(state(s -> s.state() == RunState.RUNNING), "nothing of it has changed the run");
  }

  @Test
  void backIsTheSameAnewAndLoadAnotherAndNothingOfTheFormerStays() throws Exception {
    verdicts.clear();
    BenchState first = last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).orElseThrow();
    done(BenchOrder.SPEED, 10, "");
    done(BenchOrder.BACK, 0, "");
    await("the next run", () -> runs(first.run() + 1));
    BenchState again = last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).orElseThrow();
    assertEquals(first.startAt(), again.startAt());
    assertEquals(10, again.speed(), "the speed stays");
    assertTrue(again.at() - first.startAt() < 30_000_000, "it began at its start");

    done(BenchOrder.LOAD, 0, "lesson-standalone");
    bench = new Topics("breakwater-beacon");
    await("the run after it", () -> runs(first.run() + 2));
    JsonNode description = description();
    assertEquals(first.run() + 2, description.get("run").asLong());
    assertEquals("lesson-standalone", description.get("scenario").asText());
    assertEquals("islet/v1/breakwater-beacon/", description.get("topics").asText());
    assertEquals("standalone", description.at("/site/arrangement").asText());
    assertEquals(
        List.of("Evening outage at the ferry landing", "Evening outage at the ferry landing"),
        verdicts);

    // Whoever comes now is told of this run's site only.
    Inbox late = new Inbox();
    try (PahoBroker client = new PahoBroker(broker.url(), PahoSettings.USUAL)) {
      client.connect("late", NO_WILL, late).subscribe("islet/v1/#", 1);
      await("this site's state", () -> !late.messages().isEmpty());
      Thread.sleep(300);
    }
    assertTrue(
        late.messages().stream().allMatch(m -> m.topic().startsWith("islet/v1/breakwater-beacon/")),
        () -> late.messages().stream().map(Message::topic).distinct().toList().toString());

    done(BenchOrder.LOAD, 0, "evening-outage");
    bench = topics;
    await("the first scenario", () -> runs(first.run() + 3));
    done(BenchOrder.SPEED, 1, "");
  }

  /** A voltmeter that is off by 5 V tells 5 V more than the plant has, until that fault ends. */
  @Test
  void oneFaultEndsByItselfAndTheOtherStands() throws Exception {
    String bias =
        "{\"fault\":{\"kind\":\"sensor-bias\",\"device\":\"regulator\","
            + "\"signal\":\"bus.voltage_V\",\"by\":5}}";
    done(BenchOrder.EVENT, 0, bias);
    done(BenchOrder.EVENT, 0, "{\"fault\":{\"kind\":\"tie-wont-close\"}}");
    await("both", () -> standing().size() == 2);
    assertTrue(standing().get(0).endsWith(" sensor-bias regulator bus.voltage_V"), "the first");
    assertTrue(standing().get(1).endsWith(" tie-wont-close tie"), "the second");
    await("the bias", () -> Math.abs(regulatorV() - truth().busVoltageV() - 5) < 0.5);
    refused(BenchOrder.EVENT, 0, bias, "standing already");

    int first = number(standing().get(0));
    done(BenchOrder.END, first, "");
    await("only the second", () -> standing().size() == 1);
    assertTrue(standing().get(0).endsWith(" tie-wont-close tie"), standing().toString());
    await("no bias", () -> Math.abs(regulatorV() - truth().busVoltageV()) < 0.5);
    refused(BenchOrder.END, first, "", "Found no fault " + first);
    refused(BenchOrder.END, 0, "", "those that do are " + number(standing().get(0)));

    done(BenchOrder.RESTORE, 0, "");
    await("none", () -> standing().isEmpty());
    refused(BenchOrder.END, first, "", "none does");
  }

  /** What has been ended before time went on has never begun. */
  @Test
  void aFaultCanBeEndedWhileTimeStandsStillAndThenNeverWas() throws Exception {
    done(BenchOrder.PAUSE, 0, "");
    await("the pause", () -> state(s -> s.state() == RunState.PAUSED));
    done(BenchOrder.EVENT, 0, "{\"fault\":{\"kind\":\"inverter-wont-start\"}}");
    await("the fault", () -> standing().size() == 1);
    done(BenchOrder.END, number(standing().get(0)), "");
    await("none", () -> standing().isEmpty());
    // One that happens once is over with that, and nothing is there to be ended.
    done(BenchOrder.EVENT, 0, "{\"fault\":{\"kind\":\"inverter-trips\",\"as\":\"once\"}}");
    assertEquals(List.of(), standing());
    done(BenchOrder.GO_ON, 0, "");
    await("the trip", () -> said("inverter-trips"));
    assertFalse(said("inverter-wont-start"), "it never began");
    anew();
  }

  private boolean said(String fault) {
    return heard.messages().stream()
        .anyMatch(
            m -> m.topic().equals(topics.of(Device.BENCH, Kind.EVENT)) && m.text().contains(fault));
  }

  private double regulatorV() {
    return last(Device.REGULATOR, Kind.TELEMETRY, RegulatorTelemetry.LAYOUT)
        .map(RegulatorTelemetry::busVoltageV)
        .orElse(0.0);
  }

  private List<String> standing() {
    String faults =
        last(Device.BENCH, Kind.STATE, BenchState.LAYOUT).map(BenchState::faults).orElse("");
    return faults.isEmpty() ? List.of() : List.of(faults.split(", ", -1));
  }

  private static int number(String standing) {
    return Integer.parseInt(standing.substring(0, standing.indexOf(' ')));
  }

  private boolean runs(long run) {
    return state(s -> s.run() == run && s.state() == RunState.RUNNING);
  }
}
