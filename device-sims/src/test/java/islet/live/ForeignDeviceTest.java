package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;

import islet.LongTest;
import islet.PahoPython;
import islet.bench.Inbox;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.Port;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.journal.Journal;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.WallClock;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.function.Predicate;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Islet's controller among simulated devices and one of somebody else's, a meter in Python that
 * knows docs/mqtt.md only. Judged by what that page promises: who keeps to it can take the place of
 * one of Islet's, and a device whose last will goes out is missed.
 */
@Execution(ExecutionMode.CONCURRENT)
@Timeout(120)
@Tag("apart")
class ForeignDeviceTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path SCENARIO =
      ROOT.resolve("device-sims/src/test/resources/islet/live/short-outage.yaml");

  private final Inbox wire = new Inbox();

  @Test
  @LongTest
  void aForeignMeterIsTakenForAMeterAndMissedWhenItDies() throws Exception {
    String python = PahoPython.insist();
    Scenario scenario =
        SiteOrScenario.of(
            SCENARIO, ScenarioReader.read(SCENARIO, OptionalLong.empty()).site(), Instant.now());
    Topics topics = new Topics(scenario.site().id());
    FixedCycle cycle = new FixedCycle(scenario.site().supervision().scanS());
    try (EmbeddedBroker broker = EmbeddedBroker.start();
        PahoBroker clients = new PahoBroker(broker.url(), PahoSettings.USUAL);
        DevicesRun devices =
            new DevicesRun(scenario, broker.url(), Access.NONE, Set.of(Device.METER), row -> {})) {
      Port listener = clients.connect("outside", Message.of("", new byte[0], 0, false), wire);
      listener.subscribe(topics.everything(), 1);
      Thread site = new Thread(devices::run, "site");
      site.start();
      Process meter =
          PahoPython.start(
              python, ROOT.resolve("docs/examples/own-device/meter.py"), "--port", broker.port());
      Duty duty =
          new Duty(
              scenario.site(),
              SiteSupervisor::new,
              cycle.over(clients),
              WallClock.witnessed(),
              "test",
              Journal.NONE,
              Map.of(),
              false);
      Thread controller = new Thread(() -> scan(cycle, duty), "controller");
      controller.start();
      try {
        await(
            "the mode GRID_PRESENT, which needs a report of every device",
            () ->
                newest(SupervisorTelemetry.LAYOUT, topics.of(Device.SUPERVISOR, Kind.TELEMETRY))
                    .map(told -> told.mode() == Mode.GRID_PRESENT)
                    .orElse(false));
        await(
            "the foreign meter's answer to the supervisor's order",
            () ->
                newest(Ack.LAYOUT, topics.of(Device.METER, Kind.ACK))
                    .map(answer -> answer.result() == AckResult.DONE)
                    .orElse(false));
        MeterTelemetry measured =
            newest(MeterTelemetry.LAYOUT, topics.of(Device.METER, Kind.TELEMETRY)).orElseThrow();
        assertEquals(1, measured.utilityVoltagePu(), 0.05);
        assertEquals(List.of(), ringing(topics), "a healthy site rings no alarm");

        meter.destroyForcibly().waitFor();
        await(
            "the alarm of a device that is gone",
            () -> ringing(topics).contains(AlarmId.DEVICE_SILENT));
      } finally {
        meter.destroyForcibly();
        cycle.stop();
        controller.join();
        devices.stop();
        site.join();
        duty.close();
      }
    }
  }

  private static void scan(FixedCycle cycle, Duty duty) {
    try {
      cycle.run(duty::scan);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private <T> Optional<T> newest(Layout<T> layout, String topic) {
    Optional<T> newest = Optional.empty();
    for (Message message : wire.messages()) {
      if (message.topic().equals(topic)) {
        newest = Optional.of(decoded(layout, message));
      }
    }
    return newest;
  }

  private static <T> T decoded(Layout<T> layout, Message message) {
    try {
      return layout.decode(message.payload());
    } catch (MalformedException e) {
      throw new AssertionError(message.topic() + ": " + message.text(), e);
    }
  }

  private List<AlarmId> ringing(Topics topics) {
    Predicate<Message> alarm =
        message -> message.topic().equals(topics.of(Device.SUPERVISOR, Kind.ALARM));
    return wire.messages().stream()
        .filter(alarm)
        .map(message -> decoded(Alarm.LAYOUT, message))
        .filter(told -> told.state() == AlarmState.UNACKNOWLEDGED)
        .map(Alarm::id)
        .toList();
  }

  private static void await(String what, BooleanSupplier condition) throws InterruptedException {
    for (int tries = 0; tries < 2_000 && !condition.getAsBoolean(); tries++) {
      Thread.sleep(10);
    }
    if (!condition.getAsBoolean()) {
      fail("Within 20 s there was no sign of " + what + ".");
    }
  }
}
