package islet.bench.guided;

import islet.bench.Rehearsal;
import islet.bench.ReportWriter;
import islet.bench.ResolvedScenario;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Sight;
import islet.bench.Signal;
import islet.bench.Stop;
import islet.bench.WireTap;
import islet.control.SupervisorMaker;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.LongConsumer;

/**
 * A run that goes from stop to stop, keeps what is answered at each, and makes the record that is
 * signed at its end. How a person is asked is not known here.
 */
public final class GuidedRun {

  /**
   * Where the run stands still.
   *
   * @param step the stop's number, from 1
   * @param sight what is so, with the stop's own signals
   */
  public record Standing(int step, Stop stop, Sight sight) {}

  private final Scenario scenario;
  private final Rehearsal rehearsal;
  private final Path folder;
  private final ZoneId zone;
  private final AnswerFile answers;
  private int passed;

  private GuidedRun(Scenario scenario, Rehearsal rehearsal, Path folder, AnswerFile answers) {
    this.scenario = scenario;
    this.rehearsal = rehearsal;
    this.folder = folder;
    this.zone = scenario.site().place().zone();
    this.answers = answers;
  }

  /**
   * Begins, or goes on with one that was broken off.
   *
   * @param folder where the run folder goes, checked already
   * @param resume whether answers that are in the folder shall be gone on with
   * @param now the present time
   * @throws RunFolderException when the answers belong to another case, or can't be read
   * @throws IOException when the folder can't be written
   */
  public static GuidedRun begin(
      Scenario scenario, SupervisorMaker maker, Path folder, boolean resume, Instant now)
      throws RunFolderException, IOException {
    AnswerFile.Head head =
        new AnswerFile.Head(
            Sha256.of(ResolvedScenario.write(scenario)),
            maker.name(),
            civil(now, scenario.site().place().zone()));
    Rehearsal rehearsal = new Rehearsal(scenario, maker);
    AnswerFile answers = resume ? AnswerFile.resume(folder, head) : AnswerFile.begin(folder, head);
    return new GuidedRun(scenario, rehearsal, folder, answers);
  }

  /** Lets somebody listen on the wire; to be called before the run goes anywhere. */
  public void listen(WireTap tap) {
    rehearsal.listen(tap);
  }

  /** The answers so far, by step. */
  public List<Answer> answers() {
    return answers.answers();
  }

  /**
   * Runs to the first stop without an answer, everything due at its instant included.
   *
   * @param progress told the simulated microseconds now and then
   * @return empty when every stop has its answer; the run has not gone further then
   * @throws RunFolderException when a stop that is answered looks different than it did then
   */
  public Optional<Standing> next(LongConsumer progress) throws RunFolderException {
    while (passed < scenario.stops().size()) {
      Stop stop = scenario.stops().get(passed);
      rehearsal.runTo(stop.atMicros(), progress);
      Sight sight = rehearsal.sight(stop.measure());
      if (passed >= answers.answers().size()) {
        return Optional.of(new Standing(passed + 1, stop, sight));
      }
      sameAsThen(answers.answers().get(passed), sight);
      passed++;
    }
    return Optional.empty();
  }

  /** The run up to an answer must be the one that was answered, or the answer says nothing. */
  private void sameAsThen(Answer then, Sight now) throws RunFolderException {
    if (!then.sight().equals(now)) {
      throw new RunFolderException(
          RunFolder.answers(folder)
              + ", line "
              + (then.step() + 1)
              + ": found that step "
              + then.step()
              + " looks different now ("
              + now
              + ") than when it was answered ("
              + then.sight()
              + "); allowed is the same run: site, profile, weather, loads and Islet as they were."
              + " Undo the change, or begin again in another folder with --out.");
    }
  }

  /** All signals where the run stands still; looking changes nothing. */
  public Sight look() {
    return rehearsal.sight(Signal.all());
  }

  /**
   * Keeps the answer at the stop where the run stands; it is on the disk when this returns.
   *
   * @param now the present time
   */
  public Answer answer(Standing standing, AnswerRules.Given given, Instant now) throws IOException {
    Answer answer =
        new Answer(
            standing.step(),
            standing.sight(),
            given.verdict(),
            given.measured(),
            given.remark(),
            given.who(),
            civil(now, zone));
    answers.add(answer);
    return answer;
  }

  /** Runs on to the scenario's end and ends there. */
  public RunRecord finish(LongConsumer progress, String version) {
    rehearsal.runTo(scenario.durationMicros(), progress);
    return rehearsal.finish().record(version);
  }

  /** Steps that the plant has taken. */
  public long steps() {
    return rehearsal.steps();
  }

  /**
   * Makes the record of a run that is over.
   *
   * @param name who signs
   * @param text what was typed as the signature
   * @param now the present time
   */
  public GuidedRecord sign(
      RunRecord run, ReportWriter report, String name, String text, Instant now)
      throws IOException {
    List<GuidedRecord.FileDigest> files = new ArrayList<>();
    RunFolder.files(run, report)
        .forEach((file, bytes) -> files.add(new GuidedRecord.FileDigest(file, Sha256.of(bytes))));
    files.removeIf(file -> file.name().equals("scenario.yaml"));
    List<GuidedRecord.Step> steps = new ArrayList<>();
    for (Answer answer : answers.answers()) {
      Stop stop = scenario.stops().get(answer.step() - 1);
      steps.add(
          new GuidedRecord.Step(
              stop, civil(answer.sight().micros()), stop.atMicros() * 1e-6, answer));
    }
    return new GuidedRecord(
        run.result(),
        scenario.site().id(),
        civil(scenario.startMicros()),
        Sha256.of(run.scenarioYaml()),
        files,
        AsFound.of(scenario.site()),
        steps,
        answers.begun(),
        new GuidedRecord.Signature(name, text, civil(now, zone)));
  }

  /**
   * An instant of the run in civil time at the site, ISO 8601 with offset.
   *
   * @param micros since 1970
   */
  public String civil(long micros) {
    return text(Instant.EPOCH.plus(micros, ChronoUnit.MICROS), zone);
  }

  private static String civil(Instant now, ZoneId zone) {
    return text(now.truncatedTo(ChronoUnit.SECONDS), zone);
  }

  private static String text(Instant instant, ZoneId zone) {
    OffsetDateTime local = instant.atZone(zone).toOffsetDateTime();
    return DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(local);
  }
}
