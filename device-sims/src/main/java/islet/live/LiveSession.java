package islet.live;

import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.Rearranged;
import islet.bench.Scenario;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.SupervisorMaker;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Live runs one after the other on one broker: the same again from its start, or another scenario,
 * as people ask for it on the bench's topics, until somebody ends the session.
 */
public final class LiveSession {

  /** The lowest speed that may be asked for on the wire, site seconds in a wall second. */
  public static final double LOWEST_SPEED = 0.01;

  /** The highest; a run that is too fast for its link falls behind and says so. */
  public static final double HIGHEST_SPEED = 1_000;

  private static final Logger LOG = LoggerFactory.getLogger(LiveSession.class);

  private static final long CONNECT_LIMIT_NANOS = 5_000_000_000L;
  private static final long LOOK_MILLIS = 5;

  /** Whoever follows a session. Told on the thread that calls {@link #run}. */
  public interface Audience {

    /** A run has been set up and begins. */
    void begins(LiveRun run, Present present);

    /**
     * A line of the present run's sequence of events; must return at once.
     *
     * @param site which site's: 0 for the first, 1 for the one beside it
     */
    void happens(int site, EventLog.Row row);

    /** The present run has come to its scenario's end and stands there; each site's judges. */
    void ended(LiveRun run, List<Judges> judges);

    /** The run is over: at its end, or because another one follows, or because the session ends. */
    void leaves(LiveRun run, List<Judges> judges);
  }

  /**
   * What is played.
   *
   * @param run counts the session's runs, from 1
   * @param name of what is played
   * @param beside the same case at the site beside it, where there is one
   */
  public record Present(long run, String name, Scenario scenario, Optional<Rearranged> beside) {

    /** Of one site alone. */
    public Present(long run, String name, Scenario scenario) {
      this(run, name, scenario, Optional.empty());
    }

    /** The scenario of each site, the first one first. */
    public List<Scenario> sites() {
      List<Scenario> sites = new ArrayList<>(List.of(scenario));
      beside.map(Rearranged::scenario).ifPresent(sites::add);
      return List.copyOf(sites);
    }
  }

  private record Wish(Present next, double speed) {}

  private final Repertoire repertoire;
  private final SupervisorMaker maker;
  private final String brokerUrl;
  private final Access access;
  private final Audience audience;
  private final Optional<BesideSite> beside;
  private volatile Present present;
  private volatile Optional<LiveRun> running = Optional.empty();
  private volatile Optional<Wish> wish = Optional.empty();
  private volatile boolean stopped;
  private double speed;

  /**
   * Sets up a session.
   *
   * @param first what is played first
   * @param name its name in the repertoire
   * @param speed site seconds in a wall second
   */
  public LiveSession(
      Scenario first,
      String name,
      Repertoire repertoire,
      SupervisorMaker maker,
      String brokerUrl,
      Access access,
      double speed,
      Audience audience) {
    this(
        new Present(1, name, first),
        Optional.empty(),
        repertoire,
        maker,
        brokerUrl,
        access,
        speed,
        audience);
  }

  /**
   * Sets up a session in which a site may run beside another one.
   *
   * @param first what is played first
   * @param beside the site that runs beside whatever is played
   * @param speed site seconds in a wall second
   */
  public LiveSession(
      Present first,
      Optional<BesideSite> beside,
      Repertoire repertoire,
      SupervisorMaker maker,
      String brokerUrl,
      Access access,
      double speed,
      Audience audience) {
    this.beside = beside;
    this.repertoire = repertoire;
    this.maker = maker;
    this.brokerUrl = brokerUrl;
    this.access = access;
    this.speed = speed;
    this.audience = audience;
    present = first;
  }

  /** What is played at present. From any thread. */
  public Present present() {
    return present;
  }

  /** What has been so far in the present run at each site. From any thread. */
  public List<LiveHistory.Past> past() {
    return running
        .map(LiveRun::past)
        .orElseGet(() -> present.sites().stream().map(site -> LiveHistory.Past.NOTHING).toList());
  }

  /** Ends the session after the work at hand. From any thread. */
  public void stop() {
    stopped = true;
    running.ifPresent(LiveRun::stop);
  }

  /**
   * Plays until {@link #stop}.
   *
   * @throws SurroundingsException when somebody does not get a connection within 10 s
   */
  public void run() throws SurroundingsException {
    while (true) {
      wish = Optional.empty();
      play(present);
      if (stopped || wish.isEmpty()) {
        return;
      }
      // Whoever comes to the new run must not learn of the former one's devices.
      for (Scenario scenario : present.sites()) {
        forget(scenario.site().id());
      }
      speed = wish.get().speed();
      present = wish.get().next();
    }
  }

  private void play(Present now) throws SurroundingsException {
    try (LiveRun run =
        new LiveRun(now.sites(), maker, brokerUrl, access, speed, audience::happens)) {
      run.open(
          new BenchSeat(now.run(), now.name(), this::another),
          judges -> audience.ended(run, judges));
      running = Optional.of(run);
      if (stopped) {
        run.stop();
      }
      audience.begins(run, now);
      run.run();
      audience.leaves(run, run.judges());
    } finally {
      running = Optional.empty();
    }
  }

  private Optional<String> another(String name, double atSpeed) {
    Optional<Repertoire.Piece> piece = repertoire.named(name);
    if (piece.isEmpty() && !name.equals(present.name())) {
      return Optional.of(
          "Found no scenario or site of the name \""
              + name
              + "\"; allowed are the names that the page's description lists.");
    }
    if (piece.isPresent() && !piece.get().playable()) {
      return Optional.of(
          name + " cuts or disturbs links, which only a rehearsal can; use rehearse for it.");
    }
    try {
      wish = Optional.of(new Wish(next(name, piece), atSpeed));
      return Optional.empty();
    } catch (InputException e) {
      return Optional.of(String.valueOf(e.getMessage()).replace('\n', ' '));
    }
  }

  /** What follows; when its file can no longer be read, the present run begins anew. */
  private Present next(String name, Optional<Repertoire.Piece> piece) {
    Present former = present;
    if (piece.isEmpty()) {
      return again(former);
    }
    Scenario scenario;
    try {
      scenario = SiteOrScenario.read(piece.get().file());
    } catch (InputException e) {
      LOG.warn(
          "{} can no longer be read, so {} begins anew: {}", name, former.name(), e.getMessage());
      return again(former);
    }
    return new Present(former.run() + 1, name, scenario, beside.map(site -> site.of(scenario)));
  }

  private static Present again(Present former) {
    return new Present(former.run() + 1, former.name(), former.scenario(), former.beside());
  }

  /** Clears what the broker retains of a site. */
  private void forget(String site) throws SurroundingsException {
    Topics topics = new Topics(site);
    try (PahoBroker broker = new PahoBroker(brokerUrl, PahoSettings.USUAL.with(access))) {
      Port port = broker.connect("sweep-" + site, Message.of("", new byte[0], 0, false), quiet());
      await(port);
      for (Device device : Device.values()) {
        for (Kind kind : Kind.values()) {
          if (kind.retained()) {
            port.publish(Message.of(topics.of(device, kind), new byte[0], kind.qos(), true));
          }
        }
      }
    }
  }

  private static Port.Listener quiet() {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        // It subscribes to nothing.
      }

      @Override
      public void link(boolean up) {
        // It is asked for.
      }
    };
  }

  private static void await(Port port) throws SurroundingsException {
    long limit = System.nanoTime() + CONNECT_LIMIT_NANOS;
    try {
      while (!port.connected()) {
        if (System.nanoTime() > limit) {
          throw new SurroundingsException(
              "The broker takes nobody in any more, so no other run can begin. Look at the broker.");
        }
        Thread.sleep(LOOK_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new SurroundingsException("Waiting for the broker was interrupted.", e);
    }
  }
}
