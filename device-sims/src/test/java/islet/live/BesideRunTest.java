package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import islet.LongTest;
import islet.bench.EventLog;
import islet.bench.Inbox;
import islet.bench.Judges;
import islet.bench.Rearranged;
import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.plug.Supervisors;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.BenchCommand;
import islet.contract.BenchLedger;
import islet.contract.BenchOrder;
import islet.contract.BenchState;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.RunState;
import islet.contract.Topics;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * Two arrangements of one site in one live run over one real broker. Judged by what each does when
 * it is rehearsed alone, and by what an outside client is told and let do.
 */
@Tag("apart")
@Timeout(150)
class BesideRunTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path SHORT_OUTAGE =
      ROOT.resolve("device-sims/src/test/resources/islet/live/short-outage.yaml");
  private static final Path CHANGEOVER = ROOT.resolve("config/sites/ferry-landing-changeover.yaml");
  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);
  private static final Topics A = new Topics("ferry-landing");
  private static final Topics B = new Topics("ferry-landing-changeover");
  private static final String OUTAGE = "{\"utility\":{\"outage\":\"PT10S\"}}";

  private static EmbeddedBroker broker;

  private final Scenario first = ScenarioReader.read(SHORT_OUTAGE, OptionalLong.empty());
  private final List<Scenario> both = List.of(first, Rearranged.of(first, CHANGEOVER).scenario());
  private final Inbox heard = new Inbox();
  private final List<List<EventLog.Row>> rows =
      List.of(new CopyOnWriteArrayList<>(), new CopyOnWriteArrayList<>());
  private final CompletableFuture<List<Judges>> ended = new CompletableFuture<>();
  private final CompletableFuture<Judges> played = new CompletableFuture<>();
  private Optional<Port> client = Optional.empty();
  private long seq;

  @BeforeAll
  static void start() throws SurroundingsException {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stop() {
    broker.close();
  }

  /** What is done while the run goes on. */
  private interface Hands {
    void act() throws Exception;
  }

  private List<Judges> run(double speed, Hands hands) throws Exception {
    try (PahoBroker outside = new PahoBroker(broker.url(), PahoSettings.USUAL);
        LiveRun run =
            new LiveRun(
                both,
                Supervisors.OWN,
                broker.url(),
                Access.NONE,
                speed,
                (site, row) -> rows.get(site).add(row))) {
      Port port = outside.connect("outside-" + speed, NO_WILL, heard);
      client = Optional.of(port);
      port.subscribe("islet/#", 1);
      await("the outside client's link", port::connected);
      run.open(
          new BenchSeat(1, "short-outage", (name, at) -> Optional.of("not here")), ended::complete);
      Thread playing = new Thread(() -> play(run));
      playing.start();
      try {
        hands.act();
      } finally {
        run.stop();
        playing.join();
      }
      played.join();
      assertEquals(0, run.dropped());
      return run.judges();
    }
  }

  private void play(LiveRun run) {
    try {
      played.complete(run.run());
    } catch (SurroundingsException | RuntimeException e) {
      played.completeExceptionally(e);
      ended.completeExceptionally(e); // nobody shall wait for the end of a run that has died
    }
  }

  @Test
  @LongTest
  void eachGoesThroughTheModesThatItGoesThroughAlone() throws Exception {
    List<Judges> judges = run(30, ended::join);
    for (int i = 0; i < both.size(); i++) {
      RunResult alone = new Rehearsal(both.get(i)).run(micros -> {}).record("test").result();
      RunResult lived = judges.get(i).record("test").result();
      assertEquals(modes(alone), modes(lived));
      assertTrue(lived.passed(), lived.hazards().toString());
      assertEquals(List.of(), lived.alarms());
    }
    assertTrue(
        modes(judges.get(0).record("test").result()).contains("ISLANDING ISLANDED"),
        "the outage was not felt");

    assertToldOfTheSameInstants(Kind.LEDGER);
    assertToldOfTheSameInstants(Kind.TELEMETRY);

    // What the bench tells at the end is what the verdict says.
    for (int i = 0; i < both.size(); i++) {
      BenchLedger ledger = last(i == 0 ? A : B, Kind.LEDGER, BenchLedger.LAYOUT).orElseThrow();
      RunResult lived = judges.get(i).record("test").result();
      assertEquals(energy(lived, "import_kWh"), ledger.importKWh(), 1e-4);
      assertEquals(energy(lived, "battery_in_kWh"), ledger.batteryInKWh(), 1e-4);
      assertEquals(energy(lived, "battery_out_kWh"), ledger.batteryOutKWh(), 1e-4);
      assertEquals(
          energy(lived, "unserved_noncritical_kWh"), ledger.unservedNoncriticalKWh(), 1e-4);
    }
    // The heating hangs upstream of the tie, and behind the changeover switch: 60 s without it.
    BenchLedger a = last(A, Kind.LEDGER, BenchLedger.LAYOUT).orElseThrow();
    BenchLedger b = last(B, Kind.LEDGER, BenchLedger.LAYOUT).orElseThrow();
    assertEquals(a.at(), b.at());
    assertEquals(60, a.mainPanelDarkS(), 0.5);
    assertTrue(a.unservedNoncriticalKWh() > 0.02, a.toString());
    assertEquals(0, b.unservedNoncriticalKWh());
    assertEquals(a.loadsWantW(), b.loadsWantW(), 0.11);
    assertEquals(a.sourceVoltagePu(), b.sourceVoltagePu());
    assertEquals(a.sunWPerM2(), b.sunWPerM2());
  }

  /** So that whoever puts both side by side compares what was so at one moment. */
  private void assertToldOfTheSameInstants(Kind kind) {
    List<String> first = instants(A, kind);
    assertTrue(first.size() > 3, first.toString());
    assertEquals(first, instants(B, kind));
  }

  private List<String> instants(Topics site, Kind kind) {
    return heard.messages().stream()
        .filter(m -> m.topic().equals(site.of(Device.BENCH, kind)))
        .map(m -> m.text().replaceFirst(".*\"at\":\"([^\"]*)\".*", "$1"))
        .toList();
  }

  private static double energy(RunResult result, String name) {
    return result.energy().stream()
        .filter(e -> e.name().equals(name))
        .findFirst()
        .orElseThrow()
        .value();
  }

  private static List<String> modes(RunResult result) {
    // Not the reasons: of two signs of one outage either may be the first to arrive.
    return result.transitions().stream().map(t -> t.from() + " " + t.to()).toList();
  }

  @Test
  void whatIsAskedOfOneBenchMovesTheCommonClockAndSurroundingsAtTheSameInstant() throws Exception {
    List<Judges> unused =
        run(
            1,
            () -> {
              await("both", () -> state(A, RunState.RUNNING) && state(B, RunState.RUNNING));
              done(B, BenchOrder.EVENT, 0, OUTAGE);
              await("the outage", () -> instant(0, "utility", "dead") > 0);
              await("the outage at B", () -> instant(1, "utility", "dead") > 0);
              assertEquals(instant(0, "utility", "dead"), instant(1, "utility", "dead"));

              done(A, BenchOrder.PAUSE, 0, "");
              await("the pause", () -> state(A, RunState.PAUSED) && state(B, RunState.PAUSED));
              long stood = standing(A);
              assertEquals(stood, standing(B));
              done(B, BenchOrder.STEP, 0, "");
              await("the step", () -> standing(A) > stood && standing(B) > stood);
              assertEquals(standing(A), standing(B));
              done(A, BenchOrder.SPEED, 5, "");
              await("the speed", () -> speed(A) == 5 && speed(B) == 5);
              done(A, BenchOrder.BOOKMARK, 0, "here");
              assertEquals(instant(0, "bench", "here"), instant(1, "bench", "here"));
              done(A, BenchOrder.GO_ON, 0, "");

              // A fault is of the site that was asked, or of both.
              done(
                  B, BenchOrder.EVENT, 0, "{\"fault\":{\"kind\":\"regulator-ignores-setpoints\"}}");
              await("the fault", () -> faults(1) == 1);
              assertEquals(0, faults(0));
              String welded = "{\"both\":{\"fault\":{\"kind\":\"tie-welded\"}}}";
              done(A, BenchOrder.EVENT, 0, welded);
              await("both faults", () -> faults(0) == 1 && faults(1) == 2);
              assertEquals(instant(0, "tie", "tie-welded"), instant(1, "tie", "tie-welded"));
              Ack only =
                  order(
                      A,
                      BenchOrder.EVENT,
                      0,
                      "{\"both\":{\"fault\":{\"kind\":\"charger-stuck-on\","
                          + "\"device\":\"charger\"}}}");
              assertEquals(AckResult.DONE, only.result(), only.reason());
              assertTrue(only.reason().startsWith("Not at ferry-landing: "), only.reason());
              assertEquals(
                  AckResult.REFUSED, order(A, BenchOrder.EVENT, 0, "{\"both\":{}}").result());
              done(B, BenchOrder.RESTORE, 0, "");
              await("everything mended", () -> mended(0) == 1 && mended(1) == 3);
            });
    assertEquals(2, unused.size());
  }

  private long instant(int site, String source, String to) {
    return rows.get(site).stream()
        .filter(row -> row.source().equals(source) && row.to().equals(to))
        .mapToLong(EventLog.Row::micros)
        .findFirst()
        .orElse(0);
  }

  private long faults(int site) {
    return rows.get(site).stream()
        .filter(row -> row.kind().equals("fault") && !row.to().isEmpty())
        .count();
  }

  private long mended(int site) {
    return rows.get(site).stream()
        .filter(row -> row.kind().equals("fault") && row.to().isEmpty())
        .count();
  }

  private boolean state(Topics site, RunState wanted) {
    return last(site, Kind.STATE, BenchState.LAYOUT).filter(s -> s.state() == wanted).isPresent();
  }

  private long standing(Topics site) {
    return last(site, Kind.STATE, BenchState.LAYOUT)
        .filter(s -> s.state() == RunState.PAUSED)
        .map(BenchState::at)
        .orElse(0L);
  }

  private double speed(Topics site) {
    return last(site, Kind.STATE, BenchState.LAYOUT).map(BenchState::speed).orElse(0.0);
  }

  private <T> Optional<T> last(Topics site, Kind kind, Layout<T> layout) {
    List<Message> all = heard.messages();
    for (int i = all.size() - 1; i >= 0; i--) {
      Message message = all.get(i);
      if (message.topic().equals(site.of(Device.BENCH, kind)) && message.payload().length > 0) {
        try {
          return Optional.of(layout.decode(message.payload()));
        } catch (MalformedException e) {
          return fail(e);
        }
      }
    }
    return Optional.empty();
  }

  private void done(Topics site, BenchOrder order, double number, String text) throws Exception {
    Ack ack = order(site, order, number, text);
    assertEquals(AckResult.DONE, ack.result(), order + " " + text + ": " + ack.reason());
  }

  private Ack order(Topics site, BenchOrder order, double number, String text) throws Exception {
    byte[] correlation = Long.toString(++seq).getBytes(StandardCharsets.US_ASCII);
    String answers = site.of(Device.BENCH, Kind.ACK);
    byte[] payload =
        BenchCommand.LAYOUT.encode(new BenchCommand(seq, first.startMicros(), order, number, text));
    client
        .orElseThrow()
        .publish(
            new Message(
                site.of(Device.BENCH, Kind.COMMAND), payload, 1, false, 0, answers, correlation));
    await("the answer to " + order + " " + text, () -> answer(answers, correlation).isPresent());
    return answer(answers, correlation).orElseThrow();
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

  private void await(String what, BooleanSupplier condition) throws InterruptedException {
    for (int tries = 0; tries < 3_000 && !condition.getAsBoolean(); tries++) {
      if (played.isCompletedExceptionally()) {
        played.join();
      }
      Thread.sleep(10);
    }
    assertTrue(condition.getAsBoolean(), () -> "Within 30 s no sign of " + what + ": " + rows);
  }
}
