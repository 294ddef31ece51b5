package islet.cli;

import islet.bench.Rehearsal;
import islet.bench.ResolvedScenario;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Sight;
import islet.bench.Signal;
import islet.bench.Stop;
import islet.bench.Timing;
import islet.bench.guided.Answer;
import islet.bench.guided.AnswerFile;
import islet.bench.guided.AsFound;
import islet.bench.guided.GuidedRecord;
import islet.bench.guided.RecordJson;
import islet.bench.guided.Seal;
import islet.bench.guided.Sha256;
import islet.bench.guided.Verdict;
import islet.bench.report.RecordPage;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * A rehearsal that waits for a person at every stop of its scenario, asks what was seen, and leaves
 * a signed record. Answers are on the disk as they are given; a rehearsal that was broken off goes
 * on at the first stop without one, after the run up to there has been repeated.
 */
final class GuidedRehearsal {

  private static final Pattern NUMBER = Pattern.compile("[-+]?\\d{1,9}(\\.\\d{1,9})?");

  private final Scenario scenario;
  private final SupervisorMaker maker;
  private final Path folder;
  private final ZoneId zone;
  private final Clock clock;
  private final Dialogue person;
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
    this.zone = scenario.site().place().zone();
    this.clock = clock;
    this.person = new Dialogue(in, out);
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
    AnswerFile.Head head =
        new AnswerFile.Head(Sha256.of(ResolvedScenario.write(scenario)), maker.name(), now());
    Rehearsal rehearsal = new Rehearsal(scenario, maker);
    AnswerFile answers = resume ? AnswerFile.resume(folder, head) : AnswerFile.begin(folder, head);
    welcome(answers.answers().size());
    try {
      String who = name("Who answers? Name:");
      for (int i = 0; i < scenario.stops().size(); i++) {
        Stop stop = scenario.stops().get(i);
        run(rehearsal, stop.atMicros());
        Sight sight = rehearsal.sight(stop.measure());
        if (i < answers.answers().size()) {
          sameAsThen(answers.answers().get(i), sight);
        } else {
          answers.add(answer(i + 1, stop, sight, who));
        }
      }
      run(rehearsal, scenario.durationMicros());
      RunRecord run = rehearsal.finish().record(Version.text());
      GuidedRecord record = sign(run, answers);
      write(run, record, rehearsal.steps());
      return told(run, record);
    } catch (Dialogue.Ended e) {
      person.say(
          "The answers ended here. "
              + answers.answers().size()
              + " of "
              + scenario.stops().size()
              + " steps are answered and kept in "
              + RunFolder.answers(folder)
              + ". Go on with: rehearse --guided --resume");
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
    return person.demand(question, "allowed is a name. The record says who answered.");
  }

  private void run(Rehearsal rehearsal, long micros) {
    Progress progress = new Progress(err, scenario.durationMicros());
    long begun = System.nanoTime();
    rehearsal.runTo(micros, progress::at);
    runNanos += System.nanoTime() - begun;
    progress.end();
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

  private Answer answer(int step, Stop stop, Sight sight, String who)
      throws IOException, Dialogue.Ended {
    show(step, stop, sight);
    Verdict verdict =
        person.ask("Seen? (pass, fail, skip)", Verdict::of, "allowed is one of pass, fail, skip.");
    List<String> measured = new ArrayList<>();
    for (int i = 0; i < stop.measure().size(); i++) {
      measured.add(verdict == Verdict.SKIP ? "" : measured(stop.measure().get(i)));
    }
    String remark =
        switch (verdict) {
          case PASS -> person.ask("Remark (may be empty):");
          case FAIL -> person.demand("What was seen instead?", "allowed is a sentence or two.");
          case SKIP -> person.demand("Why is it skipped?", "allowed is a reason.");
        };
    person.say("");
    return new Answer(step, sight, verdict, measured, remark, who, now());
  }

  private void show(int step, Stop stop, Sight sight) {
    person.say(
        "Step "
            + step
            + " of "
            + scenario.stops().size()
            + ", "
            + VerdictText.clock(stop.atMicros() * 1e-6).strip()
            + " after the start, "
            + civil(sight.micros()));
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
    List<String> words = signal.words();
    String unit = signal.unit().isEmpty() ? "" : " in " + signal.unit();
    return person.ask(
        "Measured " + signal.label() + unit + " (may be empty):",
        text -> value(text, words),
        words.isEmpty()
            ? "allowed is a number such as 52.4, or nothing."
            : "allowed is one of " + String.join(", ", words) + ", or nothing.");
  }

  private static Optional<String> value(String text, List<String> words) {
    if (text.isEmpty()) {
      return Optional.of("");
    }
    if (words.isEmpty()) {
      return NUMBER.matcher(text).matches() ? Optional.of(text) : Optional.empty();
    }
    return words.stream().filter(word -> word.equalsIgnoreCase(text)).findFirst();
  }

  private GuidedRecord sign(RunRecord run, AnswerFile answers) throws IOException, Dialogue.Ended {
    person.say("The run is over: " + (run.result().passed() ? "passed." : "failed."));
    String name = name("Who signs? Name:");
    String text =
        person.demand(
            "Signature (type it):", "allowed is a signature, such as the name or initials.");
    List<GuidedRecord.FileDigest> files = new ArrayList<>();
    RunFolder.files(run, Report::html)
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
        new GuidedRecord.Signature(name, text, now()));
  }

  private void write(RunRecord run, GuidedRecord record, long steps)
      throws RunFolderException, IOException {
    byte[] json = RecordJson.sealed(record);
    Map<String, byte[]> files = new LinkedHashMap<>();
    files.put(RunFolder.RECORD_JSON, json);
    files.put(
        RunFolder.RECORD_PAGE,
        RecordPage.html(record, Seal.digest(json)).getBytes(StandardCharsets.UTF_8));
    RunFolder.writeGuided(folder, run, new Timing(runNanos * 1e-9, steps), Report::html, files);
  }

  private int told(RunRecord run, GuidedRecord record) {
    person.say("");
    person.say(VerdictText.of(run.result(), folder).stripTrailing());
    person.say("");
    person.say(
        "Record: "
            + record.outcome().name()
            + ", "
            + record.count(Verdict.PASS)
            + " steps passed, "
            + record.count(Verdict.FAIL)
            + " failed, "
            + record.count(Verdict.SKIP)
            + " skipped: "
            + folder.resolve(RunFolder.RECORD_PAGE));
    return record.outcome() == GuidedRecord.Outcome.PASS ? Main.PASSED : Main.FAILED;
  }

  /** The present time at the site. */
  private String now() {
    return text(clock.instant().truncatedTo(ChronoUnit.SECONDS));
  }

  private String civil(long micros) {
    return text(Instant.EPOCH.plus(micros, ChronoUnit.MICROS));
  }

  private String text(Instant instant) {
    OffsetDateTime local = instant.atZone(zone).toOffsetDateTime();
    return DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(local);
  }
}
