package islet.bench;

import islet.contract.AlarmId;
import islet.contract.Mode;
import islet.site.Section;
import islet.site.Spelling;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** Reads what is expected of a run. */
final class ExpectationReader {

  private static final List<String> MODES = Arrays.stream(Mode.values()).map(Mode::name).toList();
  private static final List<String> SIGNALS = Signal.all().stream().map(Signal::label).toList();
  private static final List<String> CONDITIONS =
      List.of("is", "above", "below", "always", "allowing", "within", "notBefore");
  private static final Expectation UNREADABLE = new Expectation.Transitions("", List.of(), 0, 0);

  private final long durationMicros;

  /** Reads the expectations of a run of this length. */
  ExpectationReader(long durationMicros) {
    this.durationMicros = durationMicros;
  }

  /** The expectations in the order of the file. */
  List<Expectation> expectations(Section s) {
    return s.has("expect") ? s.sections("expect", "", this::expectation) : List.of();
  }

  /** When an expectation is judged, and its text. */
  private record Frame(String text, long after, long until) {}

  private Expectation expectation(Section s) {
    Frame frame = frame(s);
    Optional<String> form = s.oneOf("signal", "transitions", "transition", "alarm");
    if (form.isEmpty()) {
      CONDITIONS.forEach(s::has); // only the name that is misspelt is told as unknown
      return UNREADABLE;
    }
    return switch (form.get()) {
      case "signal" -> ofSignal(s, frame);
      case "transitions" -> ofTransitions(s, frame);
      case "transition" -> ofTransition(s, frame);
      default ->
          new Expectation.Alarm(
              frame.text(),
              AlarmCheck.id(s.choice("alarm", AlarmId.class, "")),
              within(s, frame),
              frame.after(),
              frame.until());
    };
  }

  private Frame frame(Section s) {
    String text = s.has("text") ? s.text("text", "text for the verdict", "") : s.oneLine();
    long after = s.has("after") ? s.duration("after", 0, 0, "") : 0;
    long until = s.has("until") ? s.duration("until", 1, durationMicros, "") : durationMicros;
    if (until > durationMicros) {
      s.wrong("until", "the scenario's duration or less, " + Micros.iso(durationMicros), "");
    }
    if (after >= until) {
      s.wrong(
          "after",
          "less than " + Micros.iso(until) + ", the end of what is judged",
          "An expectation must have some time in which to hold.");
    }
    return new Frame(text, after, until);
  }

  private static long within(Section s, Frame frame) {
    return s.has("within") ? s.duration("within", 0, 0, "") : frame.until() - frame.after();
  }

  private static Expectation ofSignal(Section s, Frame frame) {
    String signal = s.choice("signal", SIGNALS, "");
    if (s.isWrong("signal")) {
      s.names(); // what else belongs here depends on the signal
      return UNREADABLE;
    }
    List<String> forms = List.of("is", "above", "below").stream().filter(s::has).toList();
    List<String> words = Signal.named(signal).orElseThrow().words();
    boolean number = words.isEmpty();
    List<String> allowed = number ? List.of("above", "below") : List.of("is");
    if (forms.size() != 1 || !allowed.contains(forms.get(0))) {
      s.wrong(
          "signal",
          forms.isEmpty() ? "no condition" : "the condition " + String.join(" and ", forms),
          (number ? "one of above, below" : "is") + " for " + signal,
          "");
      s.names(); // what else belongs here depends on the condition
      return UNREADABLE;
    }
    if (number) {
      return new Expectation.Bound(
          frame.text(),
          signal,
          forms.get(0).equals("above") ? Expectation.Side.ABOVE : Expectation.Side.BELOW,
          s.number(forms.get(0), -1e9, 1e9, "In the unit of the signal's name."),
          allowing(s),
          frame.after(),
          frame.until());
    }
    String value = s.choice("is", words, "");
    if (s.has("within")) {
      return new Expectation.Becomes(
          frame.text(), signal, value, within(s, frame), frame.after(), frame.until());
    }
    return new Expectation.Stays(
        frame.text(), signal, value, allowing(s), frame.after(), frame.until());
  }

  /** How long a signal may stray: not at all when the file says {@code always: true} or nothing. */
  private static long allowing(Section s) {
    if (s.has("always")) {
      s.choice("always", List.of("true"), "Leave it out, or say for how long with allowing.");
      return 0;
    }
    return s.has("allowing") ? s.duration("allowing", 0, 0, "") : 0;
  }

  private static Expectation ofTransitions(Section s, Frame frame) {
    String allowed = "modes out of " + String.join(", ", MODES);
    List<String> modes = s.texts("transitions", allowed, "");
    for (String mode : modes) {
      if (!MODES.contains(mode)) {
        s.wrong("transitions", "\"" + mode + "\"", allowed, Spelling.question(mode, MODES));
      }
    }
    return new Expectation.Transitions(frame.text(), modes, frame.after(), frame.until());
  }

  private static Expectation ofTransition(Section s, Frame frame) {
    List<String> pair =
        s.section(
            "transition", "", t -> List.of(t.choice("from", MODES, ""), t.choice("to", MODES, "")));
    long notBefore = s.has("notBefore") ? s.duration("notBefore", 0, 0, "") : 0;
    long within = within(s, frame);
    if (notBefore > within && !s.isWrong("after")) {
      s.wrong("notBefore", "within or less, " + Micros.iso(within), "");
    }
    return new Expectation.Transition(
        frame.text(), pair.get(0), pair.get(1), notBefore, within, frame.after(), frame.until());
  }
}
