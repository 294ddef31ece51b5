package islet.live;

import islet.bench.DeviceStage;
import islet.bench.Event;
import islet.bench.FalseMode;
import islet.bench.Judges;
import islet.bench.LinkFaults;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.VirtualBroker;
import islet.bench.VirtualNetwork;
import islet.bench.VirtualTime;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Online;
import islet.contract.Port;
import islet.contract.Scanned;
import islet.contract.Topics;
import islet.fault.Fault;
import islet.fault.FaultFamily;
import islet.fault.FaultKind;
import islet.fault.Reach;
import islet.mqtt.PahoBroker;
import islet.site.InputException;
import islet.site.Problem;
import islet.site.Site;
import java.time.Duration;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.LongConsumer;

/**
 * A scenario in virtual time with a controller that is another process, in any language, and may
 * take as long for its scans as it likes: simulated time stands still until it says that it has
 * scanned.
 *
 * <p>Plant, devices, judges, broker and links are those of a rehearsal. In the place of the
 * supervisor a port on the virtual broker passes everything on over the real one ({@link
 * LockstepLink}), and what the controller answers to a scan goes out at the scan's instant, as a
 * supervisor's orders do in a rehearsal. So the run depends on what the controller says, and not on
 * when it says it, and link faults work as in a rehearsal.
 */
public final class LockstepRun implements AutoCloseable {

  /** How often progress is told, in microseconds of simulated time. */
  private static final long PROGRESS_MICROS = 60_000_000L;

  private static final long MICROS_PER_MILLI = 1_000;

  /** What of a device a supervisor hears. */
  private static final Set<Kind> HEARD =
      EnumSet.of(Kind.TELEMETRY, Kind.ONLINE, Kind.ACK, Kind.STATE);

  private final Scenario scenario;
  private final VirtualTime time;
  private final VirtualBroker broker;
  private final DeviceStage stage;
  private final LockstepLink link;
  private final Topics topics;
  private final String clientId;
  private final Port supervisor;
  private final VirtualTime.Timer scan;
  private final Set<String> ownTopics;
  private long nextMicros;
  private boolean paused;
  private boolean presenceDue;
  private boolean failed;
  private String failure = "";
  private Optional<SurroundingsException> broken = Optional.empty();
  private volatile boolean stopped;

  /**
   * Sets everything up and connects to the real broker.
   *
   * @param real where the controller is
   * @param patience how long it may take for a scan, by the wall clock
   */
  public LockstepRun(Scenario scenario, PahoBroker real, Duration patience) {
    insistOnPlayable(scenario);
    this.scenario = scenario;
    Site site = scenario.site();
    topics = new Topics(site.id());
    clientId = SiteSimulation.clientId(site, Device.SUPERVISOR);
    ownTopics =
        Set.of(
            topics.of(Device.SUPERVISOR, Kind.TELEMETRY),
            topics.of(Device.SUPERVISOR, Kind.ONLINE),
            topics.of(Device.SUPERVISOR, Kind.ACK),
            topics.of(Device.SUPERVISOR, Kind.STATE),
            topics.of(Device.BENCH, Kind.ONLINE));
    time = new VirtualTime(scenario.startMicros());
    broker = new VirtualBroker(time);
    FalseMode falseMode = new FalseMode(site);
    stage = new DeviceStage(scenario, time, broker, reach(site, falseMode));
    broker.tap(stage.wire());
    link = new LockstepLink(site.id(), real, patience);
    supervisor =
        falseMode.over(broker.connect(clientId, topics.will(Device.SUPERVISOR), passingOn()));
    for (Kind kind : HEARD) {
      supervisor.subscribe(topics.fromAll(kind), kind.qos());
    }
    supervisor.subscribe(topics.of(Device.SUPERVISOR, Kind.COMMAND), Kind.COMMAND.qos());
    scan = time.timer(VirtualTime.CONTROLLER, this::scan);
  }

  /**
   * Refuses what is the process of somebody else.
   *
   * @throws InputException when the scenario lets the supervisor die or start anew
   */
  private static void insistOnPlayable(Scenario scenario) {
    for (Event event : scenario.events()) {
      if (event instanceof Event.Fault fault
          && fault.kind().family() == FaultFamily.SUPERVISOR
          && fault.kind() != FaultKind.SUPERVISOR_PAUSE
          && fault.kind() != FaultKind.SUPERVISOR_LIES) {
        throw new InputException(
            List.of(
                new Problem(
                    scenario.file().toString(),
                    0,
                    "events",
                    "the fault " + fault.kind().word() + " of the supervisor's process",
                    "supervisor-pause or supervisor-lies where the supervisor is another process",
                    "Use rehearse for it, or stop the real one.")));
      }
    }
  }

  private Reach reach(Site site, FalseMode falseMode) {
    LinkFaults links = new LinkFaults(site, new VirtualNetwork(broker));
    return new Reach() {
      @Override
      public void cut(Device device, boolean cut) {
        String client = SiteSimulation.clientId(site, device);
        if (cut) {
          broker.link(client).cut();
        } else {
          broker.link(client).restore();
        }
      }

      @Override
      public void pause(boolean stopped) {
        paused = stopped;
      }

      @Override
      public void claim(String mode) {
        falseMode.claim(mode);
      }

      @Override
      public void disturb(Fault fault, boolean on) {
        links.set(fault, on);
      }

      @Override
      public void upset(Fault fault, boolean on) {
        throw new IllegalStateException("the supervisor is another process");
      }
    };
  }

  private Port.Listener passingOn() {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        if (!failed && !ownTopics.contains(message.topic())) {
          link.forward(message);
        }
      }

      @Override
      public void link(boolean up) {
        presenceDue = up;
      }
    };
  }

  /**
   * Waits for a controller.
   *
   * @param longest how long, by the wall clock
   * @return its name; empty when it has been stopped meanwhile
   * @throws SurroundingsException with a sentence, when none comes
   */
  public Optional<String> awaitController(Duration longest) throws SurroundingsException {
    Optional<Scanned> first = link.begin(scenario.startMicros(), longest);
    first.ifPresent(
        answer -> {
          nextMicros = answer.nextMs() * MICROS_PER_MILLI;
          stage.judges().supervisedBy(answer.name());
        });
    return first.map(Scanned::name);
  }

  /**
   * Runs to the scenario's end or until {@link #stop}; after {@link #awaitController}.
   *
   * @param progress told the simulated microseconds now and then
   * @throws SurroundingsException when the bench has lost its link to the broker
   */
  public Judges run(LongConsumer progress) throws SurroundingsException {
    long start = scenario.startMicros();
    long end = start + scenario.durationMicros();
    stage.start();
    scan.arm(start + nextMicros);
    long mark = start;
    while (goesOn() && time.runNext(end)) {
      if (time.now() - mark >= PROGRESS_MICROS) {
        mark = time.now();
        progress.accept(mark - start);
      }
    }
    if (broken.isPresent()) {
      throw broken.get();
    }
    if (!stopped) {
      time.runUntil(end);
    }
    link.end(time.now());
    stage.finish(time.now());
    return stage.judges();
  }

  private boolean goesOn() {
    return !stopped && broken.isEmpty();
  }

  private void scan() {
    if (paused) {
      scan.arm(time.now() + nextMicros);
      return;
    }
    try {
      link.scan(time.now())
          .ifPresent(
              answer -> {
                tellPresence();
                answer.messages().forEach(supervisor::publish);
                nextMicros = answer.nextMicros();
                scan.arm(time.now() + nextMicros);
              });
    } catch (ControllerFailedException e) {
      failed = true;
      failure = String.valueOf(e.getMessage());
      stage.crashed(time.now(), failure);
      if (e.gone()) {
        broker.kill(clientId); // its will goes out, as from a real broker
      }
    } catch (SurroundingsException e) {
      broken = Optional.of(e);
    }
  }

  /** Presence at the real broker is a matter of wall time, so the bench tells it, with a scan. */
  private void tellPresence() {
    if (presenceDue) {
      presenceDue = false;
      supervisor.publish(
          Message.of(
              topics.of(Device.SUPERVISOR, Kind.ONLINE),
              Online.LAYOUT.encode(new Online(0, time.now(), true)),
              Kind.ONLINE.qos(),
              Kind.ONLINE.retained()));
    }
  }

  /** Why the controller's scans ended before the run did; empty when they did not. */
  public String failure() {
    return failure;
  }

  /** What of the controller's messages could not be read, in a sentence; empty when all could. */
  public String unreadable() {
    return stage.unreadable();
  }

  /** Ends the run early; from any thread. */
  public void stop() {
    stopped = true;
    link.stop();
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return stage.steps();
  }

  /** Leaves the real broker. */
  @Override
  public void close() {
    link.close();
  }
}
