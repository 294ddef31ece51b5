package islet.bench;

import islet.bench.plug.WireHabit;
import islet.contract.Port;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.plant.DataFiles;
import islet.site.InputException;
import islet.site.Site;
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
  private final Stage stage;

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
    VirtualBroker broker = new VirtualBroker(time);
    stage =
        new Stage(scenario, time, way.apply(broker), supervisor, new VirtualNetwork(broker), files);
    broker.tap(stage.wire());
  }

  /**
   * Runs to the end.
   *
   * @param progress told the simulated microseconds now and then
   */
  public Judges run(LongConsumer progress) {
    long start = scenario.startMicros();
    long end = start + scenario.durationMicros();
    stage.start();
    for (long next = start + PROGRESS_MICROS; next < end; next += PROGRESS_MICROS) {
      time.runUntil(next);
      progress.accept(next - start);
    }
    time.runUntil(end);
    stage.finish(end);
    return stage.judges();
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return stage.steps();
  }
}
