package islet.bench;

import islet.bench.plug.WireHabit;
import islet.contract.Port;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.plant.DataFiles;
import islet.site.InputException;
import islet.site.Site;
import java.util.List;
import java.util.function.Function;
import java.util.function.LongConsumer;
import java.util.function.UnaryOperator;

/**
 * One run of a scenario in virtual time over the virtual broker. The same scenario, seed and
 * version give the same run.
 */
public final class Rehearsal {

  /** How often progress is told, in microseconds of simulated time. */
  private static final long PROGRESS_MICROS = 3_600_000_000L;

  private final Scenario scenario;
  private final VirtualTime time;
  private final VirtualBroker broker;
  private final Stage stage;
  private boolean begun;
  private long reached;

  /** Sets a run up with Islet's own supervisor. */
  public Rehearsal(Scenario scenario) {
    this(scenario, SiteSupervisor::new);
  }

  /**
   * Sets a run up with a supervisor of a kind. One from outside is watched: when it throws, its
   * scans are over and the run goes on to its end without them.
   *
   * @throws InputException when it can't be made for the scenario's site
   */
  public Rehearsal(Scenario scenario, SupervisorMaker maker) {
    this(scenario, maker, new DataFiles());
  }

  /**
   * The same, one of many runs that share their data files.
   *
   * @throws InputException as above
   */
  public Rehearsal(Scenario scenario, SupervisorMaker maker, DataFiles files) {
    this(
        scenario,
        Stage.supervisor(maker),
        broker -> WireHabit.of(maker, broker, scenario.site()),
        files);
    stage.judges().supervisedBy(maker.name());
  }

  /** Sets a run up with a supervisor of the caller's. */
  public Rehearsal(Scenario scenario, Function<Site, Supervisor> supervisor) {
    this(scenario, supervisor, broker -> broker, new DataFiles());
  }

  private Rehearsal(
      Scenario scenario,
      Function<Site, Supervisor> supervisor,
      UnaryOperator<Port.Broker> way,
      DataFiles files) {
    this.scenario = scenario;
    time = new VirtualTime(scenario.startMicros());
    broker = new VirtualBroker(time);
    stage =
        new Stage(scenario, time, way.apply(broker), supervisor, new VirtualNetwork(broker), files);
    broker.tap(stage.wire());
  }

  /** Lets somebody listen on the wire from now on; listening changes nothing in the run. */
  public void listen(WireTap tap) {
    broker.tap(tap);
  }

  /**
   * Runs to the end.
   *
   * @param progress told the simulated microseconds now and then
   */
  public Judges run(LongConsumer progress) {
    runTo(scenario.durationMicros(), progress);
    return finish();
  }

  /**
   * Runs as far as an instant, everything due at it included, and stands still there. Where a run
   * stands still changes nothing in it.
   *
   * @param micros after the start of the run, not beyond its end; an instant that has passed runs
   *     nothing
   * @param progress told the simulated microseconds now and then
   */
  public void runTo(long micros, LongConsumer progress) {
    if (!begun) {
      begun = true;
      stage.start();
    }
    long start = scenario.startMicros();
    for (long next = reached + PROGRESS_MICROS; next < micros; next += PROGRESS_MICROS) {
      time.runUntil(start + next);
      progress.accept(next);
    }
    time.runUntil(start + micros);
    reached = Math.max(reached, micros);
  }

  /** What is so where the run stands still; looking changes nothing. */
  public Sight sight(List<Signal> asked) {
    return stage.judges().sight(time.now(), asked);
  }

  /** Ends the run where it stands, which is the scenario's end unless it was given up before. */
  public Judges finish() {
    stage.finish(scenario.startMicros() + reached);
    return stage.judges();
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return stage.steps();
  }
}
