package islet.live;

import islet.bench.Event;
import islet.bench.Judges;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.Stage;
import islet.bench.VirtualTime;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.fault.FaultKind;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import islet.site.Problem;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/**
 * A scenario by the wall clock over a real broker: the same plant, devices, supervisor and judges
 * as in a rehearsal, each party with a client and a will of its own.
 *
 * <p>The judges listen on the wire as one more client, so that what they hear has crossed the
 * broker.
 */
public final class LiveRun implements AutoCloseable {

  private static final long CONNECT_LIMIT_NANOS = 10_000_000_000L;
  private static final long LOOK_MILLIS = 10;

  private final Scenario scenario;
  private final VirtualTime time;
  private final RealTimeDriver driver;
  private final PahoBroker broker;
  private final Stage stage;
  private final Port listening;
  private final Set<String> awaited = ConcurrentHashMap.newKeySet();

  /**
   * Connects everybody.
   *
   * @param brokerUrl such as {@code tcp://127.0.0.1:1883}
   * @param speed site seconds in a wall second
   * @throws InputException when the scenario cuts links, which only a rehearsal can
   */
  public LiveRun(Scenario scenario, String brokerUrl, double speed) {
    refuseCutLinks(scenario);
    this.scenario = scenario;
    time = new VirtualTime(scenario.startMicros());
    driver = new RealTimeDriver(time, speed);
    broker = new PahoBroker(brokerUrl, PahoSettings.USUAL);
    stage = new Stage(scenario, time, this::connect, SiteSupervisor::new, (client, cut) -> {});
    Topics topics = new Topics(scenario.site().id());
    String judges = "judges-" + scenario.site().id();
    Port.Listener hears =
        new Port.Listener() {
          @Override
          public void message(Message message) {
            stage.wire().published(time.now(), "", message);
            stage.wire().delivered(time.now(), owner(topics, message.topic()), message);
          }

          @Override
          public void link(boolean up) {
            // What is missed meanwhile shows as silence, which the judges see for themselves.
          }
        };
    // The judges' own loss is nobody's concern: their will is an empty message, which clears
    // nothing.
    listening =
        connect(
            judges, Message.of(topics.of(Device.BENCH, Kind.EVENT), new byte[0], 0, false), hears);
    listening.subscribe(topics.everything(), 1);
  }

  private static void refuseCutLinks(Scenario scenario) {
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault fault
          && (fault.kind() == FaultKind.DEVICE_LINK_LOST
              || fault.kind() == FaultKind.SUPERVISOR_LINK_LOST)) {
        throw new InputException(
            List.of(
                new Problem(
                    scenario.file().toString(),
                    0,
                    "events",
                    "a fault that cuts a link",
                    "any other event in a live run",
                    "Use rehearse for it, or cut the real link.")));
      }
    }
  }

  private Port connect(String clientId, Message will, Port.Listener listener) {
    awaited.add(clientId);
    Port.Listener onOwnersThread = driver.handingOver(listener);
    return broker.connect(
        clientId,
        will,
        new Port.Listener() {
          @Override
          public void message(Message message) {
            onOwnersThread.message(message);
          }

          @Override
          public void link(boolean up) {
            if (up) {
              awaited.remove(clientId);
            }
            onOwnersThread.link(up);
          }
        });
  }

  private String owner(Topics topics, String topic) {
    for (Device device : Device.values()) {
      if (topic.equals(topics.of(device, Kind.COMMAND))) {
        return device == Device.SUPERVISOR
            ? Stage.SUPERVISOR_CLIENT
            : SiteSimulation.clientId(scenario.site(), device);
      }
    }
    return "";
  }

  /**
   * Waits until everybody is connected, then runs to the scenario's end or until {@link #stop}.
   *
   * @throws SurroundingsException when somebody does not get a connection within 10 s
   */
  public Judges run() throws SurroundingsException {
    awaitLinks();
    stage.start();
    driver.run(scenario.startMicros() + scenario.durationMicros());
    stage.finish(time.now());
    return stage.judges();
  }

  private void awaitLinks() throws SurroundingsException {
    long limit = System.nanoTime() + CONNECT_LIMIT_NANOS;
    while (!awaited.isEmpty()) {
      if (System.nanoTime() > limit) {
        throw new SurroundingsException(
            "These clients got no connection to the broker within 10 s: "
                + String.join(", ", awaited.stream().sorted().toList())
                + ". Look at the broker's limits and access rules.");
      }
      try {
        Thread.sleep(LOOK_MILLIS);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new SurroundingsException("Waiting for the broker was interrupted.", e);
      }
    }
  }

  /** Ends the run early; from any thread. */
  public void stop() {
    driver.stop();
  }

  /** How far it is behind the wall clock. */
  public RealTimeDriver.Lag lag() {
    return driver.lag();
  }

  /** Site time reached, microseconds since 1970; read from other threads for display only. */
  public long now() {
    return time.now();
  }

  /** What the ports dropped. */
  public PahoBroker.Counts drops() {
    return broker.counts();
  }

  /** Takes everybody off the broker. */
  @Override
  public void close() {
    stage.close();
    listening.close();
    broker.close();
  }
}
