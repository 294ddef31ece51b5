package islet.bench;

import islet.bench.RunResult.Outcome;
import islet.bench.plug.Supervisors;
import islet.contract.Mode;
import islet.fault.Fault;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * Everybody who watches a run: hazards, expectations and the recorder, and what they have to say at
 * its end.
 */
public final class Judges {

  private final Scenario scenario;
  private final Hazards hazards;
  private final Expectations expectations;
  private final Recorder recorder;
  private final VoltageEnvelope envelope;
  private final DarkTime dark;
  private final Witness watchers;
  private final List<SiteSimulation> attached = new ArrayList<>(1);
  private String supervisor = Supervisors.OWN_NAME;
  private String crash = "";
  private long crashMicros;
  private long endMicros;

  /** Judges for a scenario. */
  public Judges(Scenario scenario) {
    this.scenario = scenario;
    long start = scenario.startMicros();
    endMicros = start;
    hazards = new Hazards(scenario.site(), start, scenario.waive());
    expectations = new Expectations(scenario.expect(), start);
    recorder = new Recorder(start, scenario.traceStepS());
    envelope = new VoltageEnvelope();
    dark = new DarkTime(scenario.site());
    watchers = new Witnesses(hazards, expectations, recorder, envelope, dark);
  }

  /** Says that the run's links are real ones, of which the scenario knows nothing. */
  void linksAreReal() {
    hazards.linksAreReal();
  }

  /** Lets the judges watch a site's truth; returns who must be told of the wire. */
  Witness attach(SiteSimulation simulation) {
    simulation.watch(watchers);
    attached.add(simulation);
    // The sample of the supervisor's signals follows the wire before anybody judges by it.
    return new Witnesses(simulation, watchers);
  }

  /** Hears what the script does at the present instant of this clock. */
  Injections injections(VirtualTime time) {
    return new Injections() {
      @Override
      public void injected(Fault fault, boolean on) {
        hazards.injected(time.now(), fault, on);
      }

      @Override
      public void astir() {
        hazards.astir();
      }
    };
  }

  /** Takes a line for the sequence of events. */
  void note(long micros, String source, String kind, String from, String to, String reason) {
    recorder.note(micros, source, kind, from, to, reason);
  }

  /** Lets somebody hear the sequence of events as it grows, on the thread that runs the site. */
  public void listen(Consumer<EventLog.Row> hears) {
    recorder.events().listen(hears);
  }

  /** Says whose logic is judged, for the verdict. */
  public void supervisedBy(String name) {
    supervisor = name;
  }

  /** The supervisor has crashed and scans no more; the verdict is a failure and says so. */
  void crashed(long micros, String sentence) {
    crash = sentence;
    crashMicros = micros;
  }

  /** How each hazard stands so far, by what has been judged by now; changes nothing. */
  public List<RunResult.HazardVerdict> soFar() {
    return hazards.verdicts();
  }

  /**
   * How far each hazard is from being violated at an instant, in the order of {@link #soFar}; empty
   * where nothing is so that could violate it. Changes nothing.
   *
   * @param micros no earlier than what has been judged
   */
  public List<Optional<Distance>> distances(long micros) {
    return hazards.distances(micros);
  }

  /** How long panels have been dark so far. */
  DarkTime dark() {
    return dark;
  }

  /** How often the supervisor has come into a mode so far, as the wire told it. */
  long arrivals(Mode mode) {
    return recorder.transitions().stream().filter(t -> t.to().equals(mode.name())).count();
  }

  /** What is so at an instant at which the run stands still. */
  Sight sight(long micros, List<Signal> asked) {
    return recorder.sight(micros, asked);
  }

  /** The run is over, at the scenario's end or before. */
  void finish(long end) {
    endMicros = end;
    watchers.finish(end);
  }

  /**
   * What the run came to. Of a run that ended before the scenario's end, expectations that time
   * might still have met or broken are left out, and a caution says how many.
   */
  public RunRecord record(String version) {
    SiteMeters meters = meters();
    List<RunResult.HazardVerdict> hazardVerdicts = hazards.verdicts();
    List<RunResult.ExpectationVerdict> judged = expectations.verdicts();
    List<RunResult.ExpectationVerdict> expectationVerdicts = new ArrayList<>(judged);
    if (!crash.isEmpty()) {
      expectationVerdicts.add(
          0,
          new RunResult.ExpectationVerdict(
              "the supervisor scans to the end",
              Outcome.FAIL,
              (crashMicros - endMicros) / 1e6,
              "s",
              (crashMicros - scenario.startMicros()) / 1e6));
    }
    boolean passed =
        hazardVerdicts.stream().noneMatch(h -> h.verdict() == Outcome.FAIL)
            && expectationVerdicts.stream().noneMatch(e -> e.verdict() == Outcome.FAIL);
    RunResult result =
        new RunResult(
            scenario.title(),
            scenario.site().name(),
            scenario.seed(),
            version,
            (endMicros - scenario.startMicros()) / 1e6,
            passed,
            hazardVerdicts,
            expectationVerdicts,
            recorder.transitions(),
            meters.energy(),
            meters.cost(),
            recorder.alarms(),
            cautions(hazardVerdicts, judged.size()),
            supervisor);
    return new RunRecord(
        result,
        recorder.trace(),
        recorder.events(),
        scenario.site(),
        scenario.startMicros(),
        ResolvedScenario.write(scenario),
        envelope.excursions());
  }

  private List<String> cautions(List<RunResult.HazardVerdict> hazardVerdicts, int judged) {
    List<String> cautions = Cautions.of(hazardVerdicts, recorder.alarms(), envelope.excursions());
    if (!crash.isEmpty()) {
      cautions.add(
          0,
          "The supervisor "
              + supervisor
              + " crashed after "
              + Micros.iso(crashMicros - scenario.startMicros())
              + " ("
              + crash
              + "). From then on there were no scans, orders and heartbeats, and the devices were"
              + " left to their own protection.");
    }
    long ran = endMicros - scenario.startMicros();
    if (ran < scenario.durationMicros()) {
      cautions.add(
          0,
          "This run was stopped after "
              + Micros.iso(ran)
              + " of "
              + Micros.iso(scenario.durationMicros())
              + "; of "
              + scenario.expect().size()
              + " expectations "
              + judged
              + " could be judged. It proves nothing about the rest.");
    }
    return cautions;
  }

  /** Bill and meters of the run. */
  public SiteMeters meters() {
    return attached.get(0).meters();
  }
}
