package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.EventLog;
import islet.bench.Inbox;
import islet.bench.Rehearsal;
import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.Topics;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * A site over real MQTT. Judged by a rehearsal of the same scenario, by an outside client that
 * listens to everything, and by what OASIS MQTT 5.0 says of wills (3.1.2.5, from memory).
 */
@Execution(ExecutionMode.CONCURRENT)
@Timeout(120)
@Tag("apart")
class LiveRunTest {

  private static final Path SHORT_OUTAGE =
      Path.of(
          System.getProperty("islet.root"),
          "device-sims/src/test/resources/islet/live/short-outage.yaml");
  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);
  private static final List<Device> PARTIES =
      List.of(Device.REGULATOR, Device.INVERTER, Device.TIE, Device.METER, Device.SUPERVISOR);

  private static EmbeddedBroker broker;

  private final Scenario scenario = ScenarioReader.read(SHORT_OUTAGE, OptionalLong.empty());
  private final Topics topics = new Topics(scenario.site().id());
  private final Inbox outside = new Inbox();

  @BeforeAll
  static void start() throws SurroundingsException {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stop() {
    broker.close();
  }

  @Test
  @LongTest
  @Timeout(300) // at the slowest of its speeds alone it takes two and a half minutes
  void itGoesThroughTheSameModesAsTheRehearsalAndAnybodyCanListen() throws Exception {
    RunResult rehearsed = new Rehearsal(scenario).run(micros -> {}).record("test").result();
    List<EventLog.Row> heard = new CopyOnWriteArrayList<>();
    RunResult lived = rehearsed;
    try (PahoBroker listener = new PahoBroker(broker.url(), PahoSettings.USUAL)) {
      Port port = listener.connect("outside", NO_WILL, outside);
      port.subscribe("islet/#", 1);
      await("the outside client's link", port::connected);
      double slowestS = Double.POSITIVE_INFINITY;
      double budgetS = LinkBudget.of(scenario.site()).messageS();
      for (int speed = 30; slowestS >= budgetS && speed > 0; speed /= 3) {
        // A machine that cannot keep one speed is asked for a third of it.
        heard.clear();
        try (LiveRun run = new LiveRun(scenario, broker.url(), speed, heard::add)) {
          lived = run.run().record("test").result();
          assertEquals(0, run.dropped());
          slowestS = run.delay().worstS();
        }
      }
      assertTrue(slowestS > 0 && slowestS < budgetS, "a message took " + slowestS + " s");
      for (Device party : PARTIES) {
        for (Kind kind : List.of(Kind.TELEMETRY, Kind.STATE, Kind.ONLINE)) {
          assertTrue(crossed(party, kind), "no " + kind + " of the " + party);
        }
      }
      for (Device device : List.of(Device.REGULATOR, Device.INVERTER, Device.TIE, Device.METER)) {
        assertTrue(crossed(device, Kind.COMMAND), "no command to the " + device);
        assertTrue(crossed(device, Kind.ACK), "no answer of the " + device);
      }
      assertTrue(crossed(Device.SUPERVISOR, Kind.EVENT));
      await("farewells", () -> PARTIES.stream().noneMatch(this::saysOnline));
    }

    assertTrue(rehearsed.passed());
    assertEquals(modes(rehearsed), modes(lived));
    assertEquals(
        List.of(Outcome.PASS, Outcome.PASS, Outcome.PASS),
        lived.expectations().stream().map(RunResult.ExpectationVerdict::verdict).toList());
    assertTrue(lived.passed(), lived.hazards().toString());
    assertEquals(List.of(), lived.alarms());
    // Each line that a person is told is told once.
    assertEquals(
        modes(lived),
        heard.stream()
            .filter(row -> row.source().equals("supervisor") && row.kind().equals("mode"))
            .map(row -> row.from() + " " + row.to())
            .toList());
    assertEquals(
        1,
        heard.stream()
            .filter(row -> row.to().equals("dead") && row.source().equals("utility"))
            .count());
  }

  private static List<String> modes(RunResult result) {
    // Not the reasons: of two signs of one outage either may be the first to arrive.
    return result.transitions().stream().map(t -> t.from() + " " + t.to()).toList();
  }

  @Test
  void whoIsCutOffIsToldGoneByTheBrokerAndComesBack() throws Exception {
    EmbeddedBroker own = EmbeddedBroker.start();
    try (own;
        Relay cable = new Relay(own.port());
        PahoBroker listener = new PahoBroker(own.url(), PahoSettings.USUAL);
        LiveRun run = new LiveRun(scenario, cable.url(), 1, row -> {})) {
      CompletableFuture<RunResult> ended =
          CompletableFuture.supplyAsync(
              () -> {
                try {
                  return run.run().record("test").result();
                } catch (SurroundingsException e) {
                  throw new IllegalStateException(e);
                }
              });
      await("the supervisor's picture", () -> run.picture().isPresent());
      // Whoever comes late learns from the retained messages who is there.
      Port port = listener.connect("outside", NO_WILL, outside);
      port.subscribe(topics.fromAll(Kind.ONLINE), 1);
      await("retained presence", () -> PARTIES.stream().allMatch(this::saysOnline));
      assertTrue(outside.messages().stream().allMatch(Message::retain));

      cable.cut();
      await("the wills", () -> PARTIES.stream().noneMatch(this::saysOnline));
      cable.restore();
      await("everybody's return", () -> PARTIES.stream().allMatch(this::saysOnline));

      run.stop();
      RunResult result = ended.join();
      assertTrue(result.simulatedSeconds() < 150, "stopped early");
      assertFalse(
          result.expectations().stream().anyMatch(e -> e.verdict() == Outcome.FAIL),
          "what had not had its time was judged: " + result.expectations());
      assertTrue(result.cautions().get(0).startsWith("This run was stopped after PT"));
    }
  }

  private boolean crossed(Device device, Kind kind) {
    String topic = topics.of(device, kind);
    return outside.messages().stream().anyMatch(m -> m.topic().equals(topic));
  }

  /** By the latest message, since each takes the place of the one before. */
  private boolean saysOnline(Device device) {
    String topic = topics.of(device, Kind.ONLINE);
    boolean online = false;
    for (Message message : outside.messages()) {
      if (message.topic().equals(topic)) {
        online = online(message);
      }
    }
    return online;
  }

  private static boolean online(Message message) {
    try {
      return Online.LAYOUT.decode(message.payload()).online();
    } catch (MalformedException e) {
      throw new AssertionError(message.topic() + " carries no presence", e);
    }
  }

  private static void await(String what, BooleanSupplier condition) throws InterruptedException {
    for (int tries = 0; tries < 2_000 && !condition.getAsBoolean(); tries++) {
      Thread.sleep(10);
    }
    assertTrue(condition.getAsBoolean(), "Within 20 s there was no sign of " + what + ".");
  }
}
