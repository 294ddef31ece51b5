package islet.live;

import islet.bench.DeviceStage;
import islet.bench.Event;
import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.VirtualTime;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.fault.FaultFamily;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import islet.site.Problem;
import islet.site.Site;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.stream.Collectors;

/**
 * A scenario's devices alone by the wall clock over a real broker; the supervisor is somebody
 * else's process. The judges listen on the wire as one more client, so that what they hear has
 * crossed the broker.
 */
public final class DevicesRun implements AutoCloseable {

  /** The devices that a site may have. */
  public static final List<Device> DEVICES =
      List.of(Device.REGULATOR, Device.INVERTER, Device.CHARGER, Device.TIE, Device.METER);

  private static final long MICROS_PER_MILLI = 1_000;

  private final Scenario scenario;
  private final VirtualTime time;
  private final RealTimeDriver driver;
  private final PahoBroker broker;
  private final DeviceStage stage;
  private final Port listening;
  private final List<Port> connected = new CopyOnWriteArrayList<>();

  /** Connects all devices to a broker that takes everybody in. */
  public DevicesRun(Scenario scenario, String brokerUrl, Consumer<EventLog.Row> hears) {
    this(scenario, brokerUrl, Access.NONE, Set.of(), hears);
  }

  /**
   * Connects the devices; links come up when they do.
   *
   * @param scenario begins at the present time, since a supervisor with a clock of its own drops
   *     what is old
   * @param brokerUrl such as {@code tcp://127.0.0.1:1883}
   * @param access who the devices say they are
   * @param absent devices that are not on the wire, since somebody else's speak in their places;
   *     their parts of the plant go on by their own settings
   * @param hears is told each event on the thread that calls {@link #run}, and must return at once
   */
  public DevicesRun(
      Scenario scenario,
      String brokerUrl,
      Access access,
      Set<Device> absent,
      Consumer<EventLog.Row> hears) {
    insistOnPlayable(scenario);
    this.scenario = scenario;
    time = new VirtualTime(scenario.startMicros());
    driver = new RealTimeDriver(time, 1);
    broker = new PahoBroker(brokerUrl, PahoSettings.USUAL.with(access));
    Set<String> silent =
        absent.stream()
            .map(device -> SiteSimulation.clientId(scenario.site(), device))
            .collect(Collectors.toSet());
    stage = new DeviceStage(scenario, time, new OffTheWire(this::connect, silent));
    stage.judges().listen(hears);
    Topics topics = new Topics(scenario.site().id());
    listening =
        driver
            .over(broker)
            .connect(
                "judges-" + scenario.site().id(),
                Message.of("", new byte[0], 0, false),
                ear(topics));
    listening.subscribe(topics.everything(), 1);
  }

  /**
   * Refuses what devices alone cannot play, before anything is started for it.
   *
   * @throws InputException when the scenario cuts links or disturbs the supervisor, which is
   *     another process
   */
  public static void insistOnPlayable(Scenario scenario) {
    LiveRun.insistOnPlayable(scenario);
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault fault && fault.kind().family() == FaultFamily.SUPERVISOR) {
        throw new InputException(
            List.of(
                new Problem(
                    scenario.file().toString(),
                    0,
                    "events",
                    "a fault of the supervisor",
                    "any other event where the supervisor is another process",
                    "Use rehearse for it, or stop the real one.")));
      }
    }
  }

  /** The devices that a site has. */
  public static Set<Device> partsOf(Site site) {
    Set<Device> parts = EnumSet.copyOf(DEVICES);
    if (!site.arrangement().hasSwitch()) {
      parts.remove(Device.TIE);
    }
    if (!site.arrangement().hasCharger()) {
      parts.remove(Device.CHARGER);
    }
    return parts;
  }

  private Port connect(String clientId, Message will, Port.Listener listener) {
    Port port = driver.over(broker).connect(clientId, will, listener);
    connected.add(port);
    return port;
  }

  private Port.Listener ear(Topics topics) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        if (!message.retain()) {
          stage.wire().published(time.now(), "", message);
          stage.wire().delivered(time.now(), owner(topics, message.topic()), message);
        }
      }

      @Override
      public void link(boolean up) {
        stage.simulation().note("judges", "link", up ? "down" : "up", up ? "up" : "down", "");
      }
    };
  }

  private String owner(Topics topics, String topic) {
    for (Device device : Device.values()) {
      if (topic.equals(topics.of(device, Kind.COMMAND))) {
        return SiteSimulation.clientId(scenario.site(), device);
      }
    }
    return "";
  }

  /** Runs to the scenario's end or until {@link #stop}. */
  public Judges run() {
    // Connecting has taken a while; the devices' clocks shall agree with the supervisor's.
    time.runUntil(Math.max(time.now(), Instant.now().toEpochMilli() * MICROS_PER_MILLI));
    stage.start();
    driver.run(scenario.startMicros() + scenario.durationMicros());
    stage.finish(time.now());
    return stage.judges();
  }

  /**
   * Lets work be done on the thread that runs the site, at the present instant. From any thread.
   */
  public void hand(Runnable work) {
    driver.hand(work);
  }

  /** Plant and devices; to be touched on the thread that runs the site only, see {@link #hand}. */
  public SiteSimulation simulation() {
    return stage.simulation();
  }

  /** Site time, microseconds since 1970. From any thread, for display. */
  public long now() {
    return time.now();
  }

  /** Whether all that are on the wire are connected to the broker. From any thread. */
  public boolean linked() {
    return connected.stream().allMatch(Port::connected);
  }

  /** How far it is behind the wall clock. From any thread. */
  public RealTimeDriver.Lag lag() {
    return driver.lag();
  }

  /** Ends the run; from any thread. */
  public void stop() {
    driver.stop();
  }

  /** Takes everybody off the broker. */
  @Override
  public void close() {
    stage.close();
    listening.close();
    broker.close();
  }
}
