package islet.live;

import islet.bench.Event;
import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.Network;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.Stage;
import islet.bench.VirtualTime;
import islet.bench.Wire;
import islet.bench.plug.Supervisors;
import islet.bench.plug.WireHabit;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.RunState;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;
import islet.control.SupervisorMaker;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import islet.site.Problem;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;

/**
 * A scenario by the wall clock over a real broker: the same plant, devices, supervisor and judges
 * as in a rehearsal, each party with a client and a will of its own.
 *
 * <p>Site time never runs so far ahead of a message on its way that the site's time-outs would feel
 * it: a run that is too fast for its link lags behind the wall clock and {@link #lag} says so.
 *
 * <p>The judges listen on the wire as one more client, so that what they hear has crossed the
 * broker.
 */
public final class LiveRun implements AutoCloseable {

  private static final long CONNECT_LIMIT_NANOS = 10_000_000_000L;
  private static final long LOOK_MILLIS = 10;

  /** Site time waits for a message when it has taken this part of what it may take. */
  private static final double WAIT_SHARE = 0.5;

  private final Scenario scenario;
  private final VirtualTime time;
  private final RealTimeDriver driver;
  private final PahoBroker broker;
  private final Stage stage;
  private final Port listening;
  private final Set<String> awaited = ConcurrentHashMap.newKeySet();
  private volatile long lostBefore;
  private final WireEar ear = new WireEar();
  private final InFlight inFlight;
  private final PhaseSight phases = new PhaseSight();
  private final LiveHistory history = new LiveHistory();
  private Optional<BenchVoice> voice = Optional.empty();
  private Consumer<Judges> atEnd = judges -> {};
  private boolean finished;

  /**
   * How long a message takes from its sender through the broker to a listener.
   *
   * @param latestS the latest one, s of site time
   * @param worstS the slowest so far, s of site time
   */
  public record Delay(double latestS, double worstS) {}

  /**
   * Connects everybody.
   *
   * @param brokerUrl such as {@code tcp://127.0.0.1:1883}
   * @param speed site seconds in a wall second
   * @param hears is told each event of the run's sequence of events on the thread that calls {@link
   *     #run}, and must return at once
   * @throws InputException when the scenario cuts links, which only a rehearsal can
   */
  public LiveRun(Scenario scenario, String brokerUrl, double speed, Consumer<EventLog.Row> hears) {
    this(scenario, Supervisors.OWN, brokerUrl, speed, hears);
  }

  /**
   * Connects everybody, with a supervisor of a kind.
   *
   * @throws InputException when the scenario cuts links, or the supervisor can't be made for its
   *     site
   */
  public LiveRun(
      Scenario scenario,
      SupervisorMaker maker,
      String brokerUrl,
      double speed,
      Consumer<EventLog.Row> hears) {
    this(scenario, maker, brokerUrl, Access.NONE, speed, hears);
  }

  /**
   * Connects everybody, with a supervisor of a kind, by one account at the broker.
   *
   * @throws InputException when the scenario cuts links, or the supervisor can't be made for its
   *     site
   */
  public LiveRun(
      Scenario scenario,
      SupervisorMaker maker,
      String brokerUrl,
      Access access,
      double speed,
      Consumer<EventLog.Row> hears) {
    insistOnPlayable(scenario);
    this.scenario = scenario;
    time = new VirtualTime(scenario.startMicros());
    driver = new RealTimeDriver(time, speed);
    inFlight =
        new InFlight(
            Math.round(LinkBudget.of(scenario.site()).messageS() * WAIT_SHARE * 1e6),
            System::nanoTime);
    driver.holdBack(inFlight::latestMicros);
    broker = new PahoBroker(brokerUrl, PahoSettings.USUAL.with(access));
    stage =
        new Stage(
            scenario,
            time,
            WireHabit.of(maker, this::connect, scenario.site()),
            phases.over(Stage.supervisor(maker)),
            Network.REAL);
    stage.judges().supervisedBy(maker.name());
    stage.judges().listen(row -> heard(row, hears));
    Topics topics = new Topics(scenario.site().id());
    Wire own = new Wire(scenario.site().id(), Map.of(), ear);
    String judges = "judges-" + scenario.site().id();
    Port.Listener judging =
        new Port.Listener() {
          @Override
          public void message(Message message) {
            own.published(time.now(), "", message);
            stage.wire().published(time.now(), "", message);
            stage.wire().delivered(time.now(), owner(topics, message.topic()), message);
            if (voice.isEmpty() && message.topic().equals(topics.of(Device.BENCH, Kind.COMMAND))) {
              stage.takeFault(message.text());
            }
          }

          @Override
          public void link(boolean up) {
            // What is missed meanwhile shows as silence, which the judges see for themselves.
          }
        };
    // The judges' own loss is nobody's concern, so they leave no will.
    listening = connect(judges, Message.of("", new byte[0], 0, false), judging);
    listening.subscribe(topics.everything(), 1);
  }

  /**
   * Lets the run be watched and commanded on the bench's own topics; to be called before {@link
   * #run}. At the scenario's end site time then stands still until {@link #stop}.
   *
   * @param ended is told once when the scenario has come to its end, on the thread that calls
   *     {@link #run}
   */
  public void open(BenchSeat seat, Consumer<Judges> ended) {
    atEnd = ended;
    BenchVoice speaking =
        new BenchVoice(scenario, seat, stage, driver, phases, time::now, System::nanoTime);
    BenchDesk desk = new BenchDesk(stage, driver, seat, speaking);
    Topics topics = new Topics(scenario.site().id());
    String clientId = "desk-" + scenario.site().id();
    awaited.add(clientId);
    // Nobody shall take a run that is gone for one that stands.
    Message will = Message.of(topics.of(Device.BENCH, Kind.STATE), new byte[0], 1, true);
    Port port =
        broker.connect(
            clientId,
            will,
            new Port.Listener() {
              @Override
              public void message(Message message) {
                if (!message.retain()) {
                  driver.control(() -> desk.take(message));
                }
              }

              @Override
              public void link(boolean up) {
                if (up) {
                  awaited.remove(clientId);
                  driver.control(speaking::tellState);
                }
              }
            });
    port.subscribe(topics.of(Device.BENCH, Kind.COMMAND), 1);
    speaking.speaksBy(port);
    voice = Optional.of(speaking);
    driver.beating(
        BenchVoice.BEAT_NANOS,
        () -> {
          speaking.beat();
          history.take(time.now(), stage.truth().sample);
        });
    driver.afterStep(() -> speaking.stands(RunState.PAUSED));
    driver.stayAtEnd(this::ended);
  }

  private void heard(EventLog.Row row, Consumer<EventLog.Row> hears) {
    hears.accept(row);
    voice.ifPresent(
        speaking -> {
          speaking.happened(row);
          history.take(row);
        });
  }

  private void ended() {
    finish();
    voice.ifPresent(speaking -> speaking.stands(RunState.ENDED));
    atEnd.accept(stage.judges());
  }

  private void finish() {
    if (!finished) {
      finished = true;
      stage.finish(time.now());
    }
  }

  /**
   * Refuses what a live run cannot play, before anything is started for it.
   *
   * @throws InputException when the scenario cuts links, which only a rehearsal can
   */
  public static void insistOnPlayable(Scenario scenario) {
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault fault && fault.kind().needsVirtualLinks()) {
        throw new InputException(
            List.of(
                new Problem(
                    scenario.file().toString(),
                    0,
                    "events",
                    "a fault that cuts or disturbs a link, or restarts the broker",
                    "any other event in a live run",
                    "Use rehearse for it, or cut the real link.")));
      }
    }
  }

  private Port connect(String clientId, Message will, Port.Listener listener) {
    awaited.add(clientId);
    Port.Listener onOwnersThread = driver.handingOver(counted(clientId, listener));
    Port port =
        broker.connect(
            clientId,
            will,
            new Port.Listener() {
              @Override
              public void message(Message message) {
                onOwnersThread.message(message);
              }

              @Override
              public void link(boolean up) {
                boolean first = up && awaited.remove(clientId);
                onOwnersThread.link(up);
                if (!first) {
                  driver.hand(() -> stage.note(clientId, "link", linked(!up), linked(up), ""));
                }
              }
            });
    return counted(clientId, port);
  }

  /**
   * Counts what arrives. It wants every topic, also those that its listener passes over, since each
   * message that comes shows that it is no longer on its way.
   */
  private Port.Listener counted(String clientId, Port.Listener listener) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        inFlight.arrived(clientId, message.topic());
        listener.message(message);
      }

      @Override
      public void link(boolean up) {
        inFlight.linked(clientId, up);
        listener.link(up);
      }
    };
  }

  private Port counted(String clientId, Port port) {
    return new Port() {
      @Override
      public void publish(Message message) {
        if (port.connected()) {
          inFlight.sent(message.topic(), time.now());
        }
        port.publish(message);
      }

      @Override
      public void subscribe(String filter, int qos) {
        inFlight.subscribes(clientId, filter);
        port.subscribe(filter, qos);
      }

      @Override
      public boolean connected() {
        return port.connected();
      }

      @Override
      public void close() {
        port.close();
      }
    };
  }

  private static String linked(boolean up) {
    return up ? "up" : "down";
  }

  private String owner(Topics topics, String topic) {
    for (Device device : Device.values()) {
      if (topic.equals(topics.of(device, Kind.COMMAND))) {
        return SiteSimulation.clientId(scenario.site(), device);
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
    // Whoever spoke before his link was up says it again when it is.
    lostBefore = lost();
    stage.start();
    voice.ifPresent(speaking -> driver.control(() -> speaking.stands(RunState.RUNNING)));
    driver.run(scenario.startMicros() + scenario.durationMicros());
    finish();
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

  /** Site seconds in a wall second, as asked. From any thread. */
  public double speed() {
    return driver.speed();
  }

  /** What has been so far, of a run that is {@link #open}. From any thread. */
  public LiveHistory.Past past() {
    return history.past();
  }

  /** How far it is behind the wall clock. */
  public RealTimeDriver.Lag lag() {
    return driver.lag();
  }

  /** Site time reached, microseconds since 1970; read from other threads for display only. */
  public long now() {
    return time.now();
  }

  /** How long messages take. From any thread. */
  public Delay delay() {
    return ear.delay();
  }

  /** The supervisor's latest picture of the site, as the wire told it. From any thread. */
  public Optional<SupervisorTelemetry> picture() {
    return ear.picture();
  }

  /** Steps that the plant has taken; to be asked when the run is over. */
  public long steps() {
    return stage.steps();
  }

  /** Messages of the run that did not get through. From any thread. */
  public long dropped() {
    return lost() - lostBefore;
  }

  private long lost() {
    PahoBroker.Counts counts = broker.counts();
    return driver.lag().dropped()
        + counts.unsent()
        + counts.unacknowledged()
        + counts.oversized()
        + counts.overflow()
        + counts.failed()
        + counts.refused();
  }

  /** Takes everybody off the broker. */
  @Override
  public void close() {
    voice.ifPresent(BenchVoice::leave);
    stage.close();
    listening.close();
    broker.close();
  }
}
