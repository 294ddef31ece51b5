package islet.bench;

import islet.bench.RunResult.Entry;
import islet.bench.RunResult.Outcome;
import islet.plant.Flow;
import islet.plant.Plant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Everybody who watches a run: hazards, expectations and the recorder, and what they have to say at
 * its end.
 */
public final class Judges {

  private static final double JOULES_PER_KWH = 3.6e6;

  private final Scenario scenario;
  private final Hazards hazards;
  private final Expectations expectations;
  private final Recorder recorder;
  private final VoltageEnvelope envelope;
  private final Witness watchers;
  private final List<SiteSimulation> attached = new ArrayList<>(1);

  /** Judges for a scenario. */
  public Judges(Scenario scenario) {
    this.scenario = scenario;
    long start = scenario.startMicros();
    hazards = new Hazards(scenario.site(), start, scenario.waive());
    expectations = new Expectations(scenario.expect(), start);
    recorder = new Recorder(start, scenario.traceStepS());
    envelope = new VoltageEnvelope();
    watchers = new Witnesses(hazards, expectations, recorder, envelope);
  }

  /** Lets the judges watch a site's truth; returns who must be told of the wire. */
  Witness attach(SiteSimulation simulation) {
    simulation.watch(watchers);
    attached.add(simulation);
    // The sample of the supervisor's signals follows the wire before anybody judges by it.
    return new Witnesses(simulation, watchers);
  }

  /** Takes a line for the sequence of events. */
  void note(long micros, String source, String kind, String from, String to, String reason) {
    recorder.note(micros, source, kind, from, to, reason);
  }

  /** The run is over. */
  void finish(long endMicros) {
    watchers.finish(endMicros);
  }

  /** What the run came to. */
  public RunRecord record(String version) {
    Plant plant = attached.get(0).plant();
    List<RunResult.HazardVerdict> hazardVerdicts = hazards.verdicts();
    List<RunResult.ExpectationVerdict> expectationVerdicts = expectations.verdicts();
    boolean passed =
        hazardVerdicts.stream().noneMatch(h -> h.verdict() == Outcome.FAIL)
            && expectationVerdicts.stream().noneMatch(e -> e.verdict() == Outcome.FAIL);
    RunResult result =
        new RunResult(
            scenario.title(),
            scenario.site().name(),
            scenario.seed(),
            version,
            scenario.durationMicros() / 1e6,
            passed,
            hazardVerdicts,
            expectationVerdicts,
            recorder.transitions(),
            energy(plant),
            attached.get(0).bill().entries(),
            recorder.alarms(),
            Cautions.of(hazardVerdicts, recorder.alarms(), envelope.excursions()));
    return new RunRecord(
        result,
        recorder.trace(),
        recorder.events(),
        scenario.site(),
        scenario.startMicros(),
        ResolvedScenario.write(scenario),
        envelope.excursions());
  }

  private static List<Entry> energy(Plant plant) {
    List<Entry> out = new ArrayList<>();
    for (Flow flow : Flow.values()) {
      out.add(
          new Entry(
              flow.name().toLowerCase(Locale.ROOT) + "_kWh",
              plant.ledger().joules(flow) / JOULES_PER_KWH));
    }
    return out;
  }
}
