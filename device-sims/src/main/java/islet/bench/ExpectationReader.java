package islet.bench;

import islet.site.Section;
import islet.site.Spelling;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/** Reads what is expected of a run. */
final class ExpectationReader {
  private static final Pattern ALARM = Pattern.compile("[a-z0-9][a-z0-9.-]{0,62}");

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
              s.text("alarm", ALARM, "an alarm's id such as tie-not-open", ""),
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
    String signal = s.choice("signal", SignalNames.ALL, "");
    if (s.isWrong("signal")) {
      s.names(); // what else belongs here depends on the signal
      return UNREADABLE;
    }
    List<String> forms = List.of("is", "above", "below").stream().filter(s::has).toList();
    boolean number = SignalNames.NUMBERS.contains(signal);
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
    String value = value(s, signal);
    if (s.has("within")) {
      return new Expectation.Becomes(
          frame.text(), signal, value, within(s, frame), frame.after(), frame.until());
    }
    return new Expectation.Stays(
        frame.text(), signal, value, allowing(s), frame.after(), frame.until());
  }

  private static String value(Section s, String signal) {
    if (SignalNames.FLAGS.contains(signal)) {
      return s.choice("is", List.of("true", "false"), "");
    }
    return signal.equals("supervisor.mode")
        ? s.choice("is", SignalNames.MODES, "")
        : s.text("is", "a value of " + signal, "");
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
    String allowed = "modes out of " + String.join(", ", SignalNames.MODES);
    List<String> modes = s.texts("transitions", allowed, "");
    for (String mode : modes) {
      if (!SignalNames.MODES.contains(mode)) {
        s.wrong(
            "transitions", "\"" + mode + "\"", allowed, Spelling.question(mode, SignalNames.MODES));
      }
    }
    return new Expectation.Transitions(frame.text(), modes, frame.after(), frame.until());
  }

  private static Expectation ofTransition(Section s, Frame frame) {
    List<String> pair =
        s.section(
            "transition",
            "",
            t ->
                List.of(
                    t.choice("from", SignalNames.MODES, ""),
                    t.choice("to", SignalNames.MODES, "")));
    long notBefore = s.has("notBefore") ? s.duration("notBefore", 0, 0, "") : 0;
    long within = within(s, frame);
    if (notBefore > within && !s.isWrong("after")) {
      s.wrong("notBefore", "within or less, " + Micros.iso(within), "");
    }
    return new Expectation.Transition(
        frame.text(), pair.get(0), pair.get(1), notBefore, within, frame.after(), frame.until());
  }
}
