package islet.live.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.Cautions;
import islet.bench.Scenario;
import islet.bench.Sight;
import islet.bench.Signal;
import islet.bench.Stop;
import islet.bench.guided.Answer;
import islet.bench.guided.AnswerRules;
import islet.bench.guided.GuidedRecord;
import islet.bench.guided.GuidedRun;
import islet.bench.guided.RefusedAnswerException;
import islet.bench.guided.Verdict;
import islet.live.page.RehearsalView.AnsweredView;
import islet.live.page.RehearsalView.RecordView;
import islet.live.page.RehearsalView.StopView;
import islet.live.page.RehearsalView.ValueView;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * Where a guided rehearsal and its page meet: the run lays a question here and waits; the page
 * reads how it stands and lays an answer here. An answer that was taken once is taken again without
 * effect, so that a double click or a page that is loaded anew does no harm; another answer to the
 * same question is refused.
 */
public final class RehearsalDesk {

  /** How it stands. */
  enum Phase {
    /** The run goes on; nobody is asked. */
    RUNNING,
    /** Who answers is asked. */
    BEGIN,
    /** The run stands at a stop. */
    STOP,
    /** The run is over; who signs is asked. */
    SIGN,
    /** The folder is being written. */
    WRITING,
    /** The record is there. */
    SIGNED,
    /** The person has left. */
    LEFT
  }

  /** There will be no further answers. */
  public static final class Ended extends Exception {
    private static final long serialVersionUID = 1L;
  }

  /** Keeps an answer before the page is told that it was taken. */
  @FunctionalInterface
  public interface Keeper {

    /** Keeps it; it is safe when this returns. */
    Answer keep(AnswerRules.Given given) throws IOException;
  }

  /** Who signs, and what was typed as the signature. */
  public record Hand(String name, String text) {}

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Hand NOBODY = new Hand("", "");

  private final Scenario scenario;
  private final String token;
  private final List<Answer> answers = new ArrayList<>();

  private Phase phase = Phase.RUNNING;
  private double share;
  private String who = "";
  private List<StopView> stop = List.of();
  private Optional<Keeper> keeper = Optional.empty();
  private String run = "";
  private Hand hand = NOBODY;
  private List<RecordView> record = List.of();
  private Map<String, byte[]> papers = Map.of();
  private Optional<IOException> broken = Optional.empty();
  private boolean ended;

  /**
   * A desk for one rehearsal.
   *
   * @param token what each answer must carry; the page reads it from {@link #now}
   */
  public RehearsalDesk(Scenario scenario, String token) {
    this.scenario = scenario;
    this.token = token;
  }

  // What the run does.

  /**
   * Waits until somebody says who answers.
   *
   * @param already what was answered before it was broken off
   */
  public synchronized void begin(List<Answer> already) throws Ended {
    answers.addAll(already);
    phase = Phase.BEGIN;
    await(Phase.BEGIN);
  }

  /** Tells how far the run is, in microseconds after its start. */
  public synchronized void ran(long micros) {
    share = (double) micros / scenario.durationMicros();
  }

  /**
   * Waits for the answer at a stop, which is kept when this returns.
   *
   * @param at civil time at the site
   * @param plant all signals
   * @throws IOException when the answer could not be kept
   */
  public synchronized void ask(
      GuidedRun.Standing standing, String at, Sight plant, List<LatestWire.Heard> wire, Keeper how)
      throws Ended, IOException {
    Stop place = standing.stop();
    Sight sight = standing.sight();
    ran(place.atMicros());
    stop =
        List.of(
            new StopView(
                standing.step(),
                at,
                place.atMicros() * 1e-6,
                place.act(),
                place.see(),
                place.safety(),
                sight.mode(),
                sight.alarms(),
                values(place.measure(), sight),
                values(Signal.all(), plant),
                wire));
    keeper = Optional.of(how);
    phase = Phase.STOP;
    await(Phase.STOP);
    if (broken.isPresent()) {
      throw broken.get();
    }
  }

  /** Waits until somebody signs. */
  public synchronized Hand sign(boolean passed) throws Ended {
    ran(scenario.durationMicros());
    run = passed ? Verdict.PASS.word() : Verdict.FAIL.word();
    phase = Phase.SIGN;
    await(Phase.SIGN);
    return hand;
  }

  /**
   * The record is written: the page may show it.
   *
   * @param files the record's files by name
   */
  public synchronized void signed(GuidedRecord signed, String sha256, Map<String, byte[]> files) {
    record =
        List.of(
            new RecordView(
                signed.outcome().name().toLowerCase(Locale.ROOT),
                signed.count(Verdict.PASS),
                signed.count(Verdict.FAIL),
                signed.count(Verdict.SKIP),
                sha256,
                signed.signature().name()));
    papers = Map.copyOf(files);
    phase = Phase.SIGNED;
  }

  /** Waits until the person leaves, or Ctrl-C. */
  public synchronized void untilLeft() {
    try {
      await(Phase.SIGNED);
    } catch (Ended e) {
      // The record is written; how one leaves makes no difference.
    }
  }

  /** Whoever waits for an answer, now or later, waits no more. */
  public synchronized void stop() {
    ended = true;
    notifyAll();
  }

  private synchronized void await(Phase asked) throws Ended {
    try {
      while (phase == asked && !ended && broken.isEmpty()) {
        wait();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new Ended();
    }
    if (phase == asked && broken.isEmpty()) {
      throw new Ended();
    }
  }

  // What the page does.

  /** What does not change, as JSON in UTF-8. */
  public byte[] description() {
    return json(
        new RehearsalView.Fixed(
            scenario.title(),
            Describer.instant(scenario.startMicros()),
            new SiteDescriber(scenario.site()).view(),
            Describer.signals(),
            Cautions.usual(),
            GuidedRecord.NOTICE));
  }

  /** How it stands, as JSON in UTF-8. From any thread. */
  public synchronized byte[] now() {
    return json(
        new RehearsalView.Now(
            phase.name(),
            token,
            scenario.stops().size(),
            share,
            who,
            answers.stream().map(this::answered).toList(),
            phase == Phase.STOP ? stop : List.of(),
            run,
            record));
  }

  /** A file of the record, once it is there. From any thread. */
  public synchronized Optional<byte[]> paper(String name) {
    return Optional.ofNullable(papers.get(name));
  }

  /**
   * Takes what the page sends. From any thread.
   *
   * @param body JSON: {@code {"do":"begin","who":…}}, {@code {"do":"answer","step":…,"verdict":…,
   *     "measured":[…],"remark":…,"who":…}}, {@code {"do":"sign","name":…,"signature":…}} or {@code
   *     {"do":"leave"}}
   */
  public synchronized Reply take(byte[] body) {
    try {
      JsonNode json = JSON.readTree(body);
      if (json == null || !json.isObject()) {
        return Reply.refused(
            Reply.MALFORMED, "Found something that is no object; allowed is a JSON object.");
      }
      String order = text(json, "do");
      return switch (order) {
        case "begin" -> begin(json);
        case "answer" -> answer(json);
        case "sign" -> sign(json);
        case "leave" -> leave();
        default ->
            Reply.refused(
                Reply.MALFORMED,
                "Found \""
                    + AnswerRules.tidy(order)
                    + "\" in the field do; allowed are begin, answer, sign, leave.");
      };
    } catch (RefusedAnswerException e) {
      return new Reply(Reply.CANNOT_STAND, e.sentence(), e.field());
    } catch (MalformedException e) {
      return Reply.refused(Reply.MALFORMED, String.valueOf(e.getMessage()));
    } catch (IOException e) {
      return Reply.refused(
          Reply.MALFORMED, "Found something that is no JSON; allowed is a JSON object.");
    }
  }

  private Reply begin(JsonNode json) throws MalformedException, RefusedAnswerException {
    String name = AnswerRules.name(text(json, "who"));
    if (phase == Phase.BEGIN) {
      who = name;
      next(Phase.RUNNING);
      return Reply.taken();
    }
    return who.equals(name)
        ? Reply.taken()
        : notNow(who.isEmpty() ? "a run that is not ready" : "that " + who + " has begun already");
  }

  private Reply answer(JsonNode json) throws MalformedException, RefusedAnswerException {
    JsonNode number = json.path("step");
    int steps = scenario.stops().size();
    if (!number.isInt() || number.intValue() < 1 || number.intValue() > steps) {
      throw new MalformedException(
          "Found no step of this rehearsal; allowed in the field step is 1 to " + steps + ".");
    }
    int step = number.intValue();
    AnswerRules.Given given =
        AnswerRules.answer(
            scenario.stops().get(step - 1),
            text(json, "verdict"),
            texts(json, "measured"),
            text(json, "remark"),
            text(json, "who"));
    if (step <= answers.size()) {
      Answer kept = answers.get(step - 1);
      return given.equals(
              new AnswerRules.Given(kept.verdict(), kept.measured(), kept.remark(), kept.who()))
          ? Reply.taken()
          : notNow(
              "that step "
                  + step
                  + " is answered already ("
                  + kept.verdict().word()
                  + ", "
                  + kept.who()
                  + "), and an answer is not changed afterwards");
    }
    if (phase != Phase.STOP || step != answers.size() + 1 || ended) {
      return notNow("that the run does not stand at step " + step);
    }
    return keep(given);
  }

  private Reply keep(AnswerRules.Given given) {
    try {
      answers.add(keeper.orElseThrow().keep(given));
    } catch (IOException e) {
      broken = Optional.of(e);
      notifyAll();
      return Reply.refused(
          Reply.NOT_KEPT,
          "The answer could not be written to the run folder ("
              + e.getMessage()
              + "). The rehearsal ends; what was answered before is kept.");
    }
    keeper = Optional.empty();
    who = given.who();
    next(Phase.RUNNING);
    return Reply.taken();
  }

  private Reply sign(JsonNode json) throws MalformedException, RefusedAnswerException {
    Hand given =
        new Hand(
            AnswerRules.demanded("name", text(json, "name"), AnswerRules.NAMES),
            AnswerRules.demanded("signature", text(json, "signature"), AnswerRules.SIGNATURES));
    if (phase == Phase.SIGN && !ended) {
      hand = given;
      next(Phase.WRITING);
      return Reply.taken();
    }
    if (given.equals(hand)) {
      return Reply.taken();
    }
    return notNow(
        hand.equals(NOBODY)
            ? "a run that is not over, or steps without an answer"
            : "that " + hand.name() + " has signed already");
  }

  private Reply leave() {
    if (phase == Phase.LEFT) {
      return Reply.taken();
    }
    if (phase != Phase.SIGNED) {
      return notNow("no signed record; to break off press Ctrl-C in the terminal");
    }
    next(Phase.LEFT);
    return Reply.taken();
  }

  private synchronized void next(Phase then) {
    phase = then;
    notifyAll();
  }

  private static Reply notNow(String found) {
    return Reply.refused(Reply.NOT_NOW, "Found " + found + ".");
  }

  private AnsweredView answered(Answer answer) {
    return new AnsweredView(
        answer.step(),
        scenario.stops().get(answer.step() - 1).act(),
        answer.verdict().word(),
        answer.measured(),
        answer.remark(),
        answer.who(),
        answer.when());
  }

  private static List<ValueView> values(List<Signal> signals, Sight sight) {
    List<ValueView> values = new ArrayList<>();
    for (int i = 0; i < signals.size(); i++) {
      Sight.Reading reading = sight.readings().get(i);
      values.add(
          new ValueView(reading.signal(), reading.value(), reading.unit(), signals.get(i).words()));
    }
    return values;
  }

  /** What no page of ours sends. */
  private static final class MalformedException extends Exception {
    private static final long serialVersionUID = 1L;

    MalformedException(String sentence) {
      super(sentence);
    }
  }

  private static String text(JsonNode json, String name) throws MalformedException {
    JsonNode value = json.path(name);
    if (!value.isTextual()) {
      throw new MalformedException(
          "Found no text in the field " + name + "; allowed is a text, which may be empty.");
    }
    return value.textValue();
  }

  private static List<String> texts(JsonNode json, String name) throws MalformedException {
    JsonNode list = json.path(name);
    List<String> texts = new ArrayList<>();
    for (JsonNode one : list) {
      if (one.isTextual()) {
        texts.add(one.textValue());
      }
    }
    if (!list.isArray() || texts.size() != list.size()) {
      throw new MalformedException(
          "Found no list of texts in the field " + name + "; allowed is a text for each signal.");
    }
    return texts;
  }

  private static byte[] json(Object view) {
    try {
      return JSON.writeValueAsBytes(view);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("records of texts, numbers and lists can be written", e);
    }
  }
}
