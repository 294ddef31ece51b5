package islet.live;

import islet.bench.Event;
import islet.bench.EventLog;
import islet.bench.Judges;
import islet.bench.Scenario;
import islet.bench.VirtualTime;
import islet.bench.plug.Supervisors;
import islet.contract.RunState;
import islet.contract.SupervisorTelemetry;
import islet.control.SupervisorMaker;
import islet.mqtt.Access;
import islet.site.InputException;
import islet.site.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * A scenario by the wall clock over a real broker: the same plant, devices, supervisor and judges
 * as in a rehearsal, each party with a client and a will of its own. Two sites may run beside each
 * other on one clock; neither has anything to do with the other's parts.
 *
 * <p>Site time never runs so far ahead of a message on its way that the site's time-outs would feel
 * it: a run that is too fast for its link lags behind the wall clock and {@link #lag} says so.
 */
public final class LiveRun implements AutoCloseable {

  /** Site time waits for a message when it has taken this part of what it may take. */
  private static final double WAIT_SHARE = 0.5;

  /** Told of each event on the thread that calls {@link #run}; must return at once. */
  @FunctionalInterface
  public interface Hearer {

    /**
     * A line of a sequence of events.
     *
     * @param site which site's, in the order of the scenarios, from 0
     */
    void hear(int site, EventLog.Row row);
  }

  private final VirtualTime time;
  private final RealTimeDriver driver;
  private final LiveLinks links;
  private final List<LiveSite> sites = new ArrayList<>();
  private final long endMicros;
  private Consumer<List<Judges>> atEnd = judges -> {};
  private Optional<Together> opened = Optional.empty();
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
    this(List.of(scenario), maker, brokerUrl, access, speed, (site, row) -> hears.accept(row));
  }

  /**
   * Connects everybody of one site or more, all on one clock; each site's supervisor is one of its
   * own.
   *
   * @param scenarios of the same start and length, each at a site with an id of its own
   * @throws InputException when a scenario cuts links, or the supervisor can't be made for its site
   */
  public LiveRun(
      List<Scenario> scenarios,
      SupervisorMaker maker,
      String brokerUrl,
      Access access,
      double speed,
      Hearer hears) {
    scenarios.forEach(LiveRun::insistOnPlayable);
    insistOnOneCourse(scenarios);
    Scenario first = scenarios.get(0);
    endMicros = first.startMicros() + first.durationMicros();
    time = new VirtualTime(first.startMicros());
    driver = new RealTimeDriver(time, speed);
    double messageS =
        scenarios.stream().mapToDouble(s -> LinkBudget.of(s.site()).messageS()).min().orElseThrow();
    InFlight inFlight = new InFlight(Math.round(messageS * WAIT_SHARE * 1e6), System::nanoTime);
    driver.holdBack(inFlight::latestMicros);
    links = new LiveLinks(brokerUrl, access, driver, inFlight, time::now);
    for (Scenario scenario : scenarios) {
      int site = sites.size();
      sites.add(new LiveSite(scenario, maker, time, links, row -> hears.hear(site, row)));
    }
  }

  private static void insistOnOneCourse(List<Scenario> scenarios) {
    boolean one =
        scenarios.stream().map(s -> s.startMicros() + " " + s.durationMicros()).distinct().count()
            == 1;
    boolean apart =
        scenarios.stream().map(s -> s.site().id()).distinct().count() == scenarios.size();
    if (!one || !apart) {
      throw new IllegalArgumentException(
          "The sites of one run begin and end together, and each has an id of its own.");
    }
  }

  /**
   * Lets the run be watched and commanded on the bench's own topics; to be called before {@link
   * #run}. At the scenario's end site time then stands still until {@link #stop}.
   *
   * @param ended is told once when the scenario has come to its end, with the judges of each site,
   *     on the thread that calls {@link #run}
   */
  public void open(BenchSeat seat, Consumer<List<Judges>> ended) {
    atEnd = ended;
    Together together = new Together();
    long began = System.nanoTime();
    for (LiveSite site : sites) {
      BenchVoice speaking =
          new BenchVoice(
              site.scenario(), seat, site.stage(), driver, site.phases(), time::now, began);
      together.add(site.stage(), speaking);
      site.open(speaking, new BenchDesk(site.stage(), together, driver, seat, speaking), driver);
    }
    opened = Optional.of(together);
    driver.beating(
        BenchVoice.BEAT_NANOS,
        () -> {
          long wall = System.nanoTime();
          sites.forEach(site -> site.beat(wall));
        });
    driver.afterStep(() -> together.stands(RunState.PAUSED));
    driver.stayAtEnd(this::ended);
  }

  private void ended() {
    finish();
    opened.ifPresent(together -> together.stands(RunState.ENDED));
    atEnd.accept(judges());
  }

  private void finish() {
    if (!finished) {
      finished = true;
      sites.forEach(site -> site.stage().finish(time.now()));
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

  /**
   * Waits until everybody is connected, then runs to the scenario's end or until {@link #stop}.
   *
   * @return the judges of the first site
   * @throws SurroundingsException when somebody does not get a connection within 10 s
   */
  public Judges run() throws SurroundingsException {
    links.await();
    sites.forEach(site -> site.stage().start());
    opened.ifPresent(together -> driver.control(() -> together.stands(RunState.RUNNING)));
    driver.run(endMicros);
    finish();
    return judges().get(0);
  }

  /** The judges of each site; to be asked when the run is over. */
  public List<Judges> judges() {
    return sites.stream().map(site -> site.stage().judges()).toList();
  }

  /** Ends the run early; from any thread. */
  public void stop() {
    driver.stop();
  }

  /** Site seconds in a wall second, as asked. From any thread. */
  public double speed() {
    return driver.speed();
  }

  /** What has been so far at each site, of a run that is {@link #open}. From any thread. */
  public List<LiveHistory.Past> past() {
    return sites.stream().map(LiveSite::past).toList();
  }

  /** How far it is behind the wall clock. */
  public RealTimeDriver.Lag lag() {
    return driver.lag();
  }

  /** Site time reached, microseconds since 1970; read from other threads for display only. */
  public long now() {
    return time.now();
  }

  /** How long messages take, of all sites the slowest. From any thread. */
  public Delay delay() {
    double latestS = 0;
    double worstS = 0;
    for (LiveSite site : sites) {
      Delay delay = site.ear().delay();
      latestS = Math.max(latestS, delay.latestS());
      worstS = Math.max(worstS, delay.worstS());
    }
    return new Delay(latestS, worstS);
  }

  /** The first site's supervisor's latest picture, as the wire told it. From any thread. */
  public Optional<SupervisorTelemetry> picture() {
    return pictures().get(0);
  }

  /** Each site's supervisor's latest picture, as the wire told it. From any thread. */
  public List<Optional<SupervisorTelemetry>> pictures() {
    return sites.stream().map(site -> site.ear().picture()).toList();
  }

  /** Steps that the plants have taken; to be asked when the run is over. */
  public long steps() {
    return sites.stream().mapToLong(site -> site.stage().steps()).sum();
  }

  /** Messages of the run that did not get through. From any thread. */
  public long dropped() {
    return links.dropped();
  }

  /** Takes everybody off the broker. */
  @Override
  public void close() {
    sites.forEach(LiveSite::close);
    links.close();
  }
}
