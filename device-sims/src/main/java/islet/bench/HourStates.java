package islet.bench;

import islet.control.Inputs;
import islet.control.Keepsake;
import islet.control.Outputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongConsumer;

/** A rehearsal that notes at every full hour after its start how the site stands. */
public final class HourStates {

  /** One hour, µs. */
  public static final long HOUR = 3_600_000_000L;

  private final Scenario scenario;
  private final List<KeptState> kept = new ArrayList<>();
  private long next;

  private HourStates(Scenario scenario) {
    this.scenario = scenario;
    next = scenario.startMicros() + HOUR;
  }

  /**
   * A rehearsal and its hours.
   *
   * @param result what the run came to
   * @param hours how the site stood at each full hour after the start; the end of the run is the
   *     last when it falls on a full hour
   */
  public record Noted(RunResult result, List<HourState> hours) {
    public Noted {
      hours = List.copyOf(hours);
    }
  }

  /**
   * Runs a scenario with Islet's own supervisor.
   *
   * @param version of Islet, for the result
   * @param progress told the simulated microseconds now and then
   */
  public static Noted of(Scenario scenario, String version, LongConsumer progress) {
    return new HourStates(scenario).run(version, progress);
  }

  private Noted run(String version, LongConsumer progress) {
    // A row of the trace at every hour and no more: a year at one a minute fills the memory.
    RunRecord record =
        new Rehearsal(tracedHourly(), (Site site) -> new Asked(new SiteSupervisor(site)))
            .run(progress)
            .record(version);
    double faded =
        record.result().energy().stream()
            .filter(entry -> entry.name().equals("battery_fade_pu"))
            .mapToDouble(RunResult.Entry::value)
            .sum();
    double lost = Math.max(0, faded - (1 - scenario.initialHealth()));
    List<HourState> hours = new ArrayList<>();
    Trace trace = record.trace();
    for (int row = 0; row < trace.rows(); row++) {
      long since = trace.micros(row) - scenario.startMicros();
      if (since == (hours.size() + 1) * HOUR && hours.size() < kept.size()) {
        // What ageing took over the run is spread evenly over it.
        double health = scenario.initialHealth() - lost * since / scenario.durationMicros();
        hours.add(
            new HourState(
                trace.micros(row),
                trace.value(row, Signal.BATTERY_SOC),
                trace.value(row, Signal.BATTERY_TEMPERATURE),
                health,
                kept.get(hours.size())));
      }
    }
    return new Noted(record.result(), hours);
  }

  private Scenario tracedHourly() {
    return new Scenario(
        scenario.title(),
        scenario.file(),
        scenario.siteFile(),
        scenario.site(),
        scenario.settings(),
        scenario.startMicros(),
        scenario.durationMicros(),
        scenario.seed(),
        scenario.weather(),
        scenario.initialSoc(),
        scenario.initialHealth(),
        scenario.tieClosed(),
        scenario.events(),
        scenario.expect(),
        scenario.waive(),
        HOUR / 1e6);
  }

  /** Asks the supervisor what it knows before the first scan of each hour. */
  private final class Asked implements Supervisor {
    private final Supervisor own;

    Asked(Supervisor own) {
      this.own = own;
    }

    @Override
    public void scan(Inputs in, long nowMicros, Outputs out) {
      if (nowMicros >= next) {
        kept.add(KeptState.of(own));
        next += HOUR;
      }
      own.scan(in, nowMicros, out);
    }

    @Override
    public boolean wantsToThink() {
      return own.wantsToThink();
    }

    @Override
    public void think() {
      own.think();
    }

    @Override
    public void keep(Keepsake keepsake) {
      own.keep(keepsake);
    }
  }
}
