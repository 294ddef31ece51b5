package islet.cli;

import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Sight;
import islet.bench.Signal;
import islet.bench.Stop;
import islet.bench.Timing;
import islet.bench.guided.AnswerRules;
import islet.bench.guided.GuidedRun;
import islet.bench.guided.Verdict;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.Reader;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * A rehearsal that waits for a person at every stop of its scenario, asks what was seen, and leaves
 * a signed record. Answers are on the disk as they are given; a rehearsal that was broken off goes
 * on at the first stop without one, after the run up to there has been repeated.
 */
final class GuidedRehearsal {

  private final Scenario scenario;
  private final SupervisorMaker maker;
  private final Path folder;
  private final Clock clock;
  private final Dialogue person;
  private final PrintWriter out;
  private final PrintWriter err;
  private long runNanos;

  /**
   * @param folder where the run folder goes, checked already
   * @param in what the person types
   * @param out what the person reads
   * @param err where a long run tells how far it is
   * @param clock the present time, for the record's dates
   */
  GuidedRehearsal(
      Scenario scenario,
      SupervisorMaker maker,
      Path folder,
      Reader in,
      PrintWriter out,
      PrintWriter err,
      Clock clock) {
    this.scenario = scenario;
    this.maker = maker;
    this.folder = folder;
    this.clock = clock;
    this.person = new Dialogue(in, out);
    this.out = out;
    this.err = err;
  }

  /**
   * Runs, asks and writes the folder.
   *
   * @param resume whether answers that are in the folder shall be gone on with
   * @return the exit code; {@link Main#FAILED} too when the answers ended before the record was
   *     signed
   */
  int run(boolean resume) throws RunFolderException, IOException {
    GuidedRun run = GuidedRun.begin(scenario, maker, folder, resume, clock.instant());
    welcome(run.answers().size());
    try {
      String who = name("Who answers? Name:");
      Optional<GuidedRun.Standing> open = next(run);
      while (open.isPresent()) {
        GuidedRun.Standing standing = open.get();
        show(run, standing);
        run.answer(standing, answer(standing.stop(), who), clock.instant());
        person.say("");
        open = next(run);
      }
      return end(run);
    } catch (Dialogue.Ended e) {
      person.say(
          GuidedEnd.brokenOff(
              run.answers().size(), scenario.stops().size(), folder, "rehearse --guided --resume"));
      return Main.FAILED;
    }
  }

  private void welcome(int answered) {
    person.say(scenario.title());
    person.say("");
    person.say(
        "",
        "A guided rehearsal on a simulated plant, with "
            + scenario.stops().size()
            + " steps. The run stands still at each; nothing moves until you answer. Values are"
            + " those of the bench's truth, not of an instrument. Ctrl-D or Ctrl-C breaks off;"
            + " what was answered is kept.");
    person.say(
        "",
        "It does not replace the tests that the authority having jurisdiction and a licensed"
            + " person require. Before live work: isolate, lock out, test dead.");
    if (answered > 0) {
      person.say("", answered + " steps are answered already; the run is repeated up to there.");
    }
    person.say("");
  }

  private String name(String question) throws IOException, Dialogue.Ended {
    return person.demand(question, AnswerRules.NAMES);
  }

  private Optional<GuidedRun.Standing> next(GuidedRun run) throws RunFolderException {
    Progress progress = new Progress(err, scenario.durationMicros());
    long begun = System.nanoTime();
    Optional<GuidedRun.Standing> open = run.next(progress::at);
    runNanos += System.nanoTime() - begun;
    progress.end();
    return open;
  }

  private RunRecord finish(GuidedRun run) {
    Progress progress = new Progress(err, scenario.durationMicros());
    long begun = System.nanoTime();
    RunRecord record = run.finish(progress::at, Version.text());
    runNanos += System.nanoTime() - begun;
    progress.end();
    return record;
  }

  private AnswerRules.Given answer(Stop stop, String who) throws IOException, Dialogue.Ended {
    Verdict verdict = person.ask("Seen? (pass, fail, skip)", Verdict::of, AnswerRules.VERDICTS);
    List<String> measured = new ArrayList<>();
    for (int i = 0; i < stop.measure().size(); i++) {
      measured.add(verdict == Verdict.SKIP ? "" : measured(stop.measure().get(i)));
    }
    String allowed = AnswerRules.remarks(verdict);
    String remark =
        switch (verdict) {
          case PASS -> person.ask("Remark (may be empty):");
          case FAIL -> person.demand("What was seen instead?", allowed);
          case SKIP -> person.demand("Why is it skipped?", allowed);
        };
    return new AnswerRules.Given(verdict, measured, remark, who);
  }

  private void show(GuidedRun run, GuidedRun.Standing standing) {
    Stop stop = standing.stop();
    Sight sight = standing.sight();
    person.say(
        "Step "
            + standing.step()
            + " of "
            + scenario.stops().size()
            + ", "
            + VerdictText.clock(stop.atMicros() * 1e-6).strip()
            + " after the start, "
            + run.civil(sight.micros()));
    person.say("Do", stop.act());
    person.say("See", stop.see());
    if (!stop.safety().isEmpty()) {
      person.say("Caution", stop.safety());
    }
    person.say("Mode", sight.mode());
    person.say("Alarms", sight.alarms().isEmpty() ? "none" : String.join(", ", sight.alarms()));
    for (Sight.Reading reading : sight.readings()) {
      person.say("At site", String.format(Locale.ROOT, "%s %s", reading.signal(), reading.text()));
    }
  }

  private String measured(Signal signal) throws IOException, Dialogue.Ended {
    String unit = signal.unit().isEmpty() ? "" : " in " + signal.unit();
    return person.ask(
        "Measured " + signal.label() + unit + " (may be empty):",
        text -> AnswerRules.measured(text, signal),
        AnswerRules.measurements(signal));
  }

  private int end(GuidedRun run) throws RunFolderException, IOException, Dialogue.Ended {
    RunRecord record = finish(run);
    person.say("The run is over: " + (record.result().passed() ? "passed." : "failed."));
    String name = name("Who signs? Name:");
    String text = person.demand("Signature (type it):", AnswerRules.SIGNATURES);
    GuidedEnd end =
        new GuidedEnd(record, run.sign(record, Report::html, name, text, clock.instant()), folder);
    end.write(new Timing(runNanos * 1e-9, run.steps()), end.files());
    end.tell(out);
    return end.code();
  }
}
