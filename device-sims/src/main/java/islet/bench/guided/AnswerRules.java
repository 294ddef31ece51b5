package islet.bench.guided;

import islet.bench.Signal;
import islet.bench.Stop;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/** What an answer must be like, whoever asks for it and by whatever means. */
public final class AnswerRules {

  /** A remark is a remark and not a report. */
  public static final int MOST_LETTERS = 1000;

  /** What a verdict may be, for a sentence. */
  public static final String VERDICTS = "allowed is one of pass, fail, skip.";

  /** What the name of whoever answers may be, for a sentence. */
  public static final String NAMES = "allowed is a name. The record says who answered.";

  /** What a signature may be, for a sentence. */
  public static final String SIGNATURES = "allowed is a signature, such as the name or initials.";

  private static final Pattern NUMBER = Pattern.compile("[-+]?\\d{1,9}(\\.\\d{1,9})?");
  private static final Pattern CONTROL = Pattern.compile("\\p{Cntrl}");

  private AnswerRules() {}

  /**
   * An answer that can stand, without the place it belongs to.
   *
   * @param measured one text for each signal of the stop; empty where nothing was measured
   */
  public record Given(Verdict verdict, List<String> measured, String remark, String who) {

    public Given {
      measured = List.copyOf(measured);
    }
  }

  /** What was typed, in one line and without blanks at its ends. */
  public static String tidy(String typed) {
    return CONTROL.matcher(typed).replaceAll(" ").strip();
  }

  /** What a step's remark may be, for a sentence; empty when it may be anything. */
  public static String remarks(Verdict verdict) {
    return switch (verdict) {
      case PASS -> "";
      case FAIL -> "allowed is a sentence or two.";
      case SKIP -> "allowed is a reason.";
    };
  }

  /** A measured value as it is kept: a number, a word of the signal, or nothing. */
  public static Optional<String> measured(String text, Signal signal) {
    if (text.isEmpty()) {
      return Optional.of("");
    }
    if (signal.words().isEmpty()) {
      return NUMBER.matcher(text).matches() ? Optional.of(text) : Optional.empty();
    }
    return signal.words().stream().filter(word -> word.equalsIgnoreCase(text)).findFirst();
  }

  /** What a measured value may be, for a sentence. */
  public static String measurements(Signal signal) {
    return signal.words().isEmpty()
        ? "allowed is a number such as 52.4, or nothing."
        : "allowed is one of " + String.join(", ", signal.words()) + ", or nothing.";
  }

  /**
   * A whole answer at a stop, held to the same rules as one that is asked for piece by piece.
   *
   * @throws RefusedAnswerException with a sentence about the first part that cannot stand
   */
  public static Given answer(
      Stop stop, String verdict, List<String> measured, String remark, String who)
      throws RefusedAnswerException {
    String word = text("verdict", verdict);
    Verdict judged = Verdict.of(word).orElseThrow(() -> refused("verdict", found(word), VERDICTS));
    int signals = stop.measure().size();
    if (measured.size() != signals) {
      throw refused(
          "measured",
          "Found " + measured.size() + " measured values",
          "allowed are " + signals + ".");
    }
    List<String> values = new ArrayList<>();
    for (int i = 0; i < signals; i++) {
      String field = "measured/" + i;
      Signal signal = stop.measure().get(i);
      String typed = text(field, measured.get(i));
      String value =
          measured(typed, signal)
              .orElseThrow(() -> refused(field, found(typed), measurements(signal)));
      // As in a terminal, where a skipped step is not asked for values.
      values.add(judged == Verdict.SKIP ? "" : value);
    }
    String said = text("remark", remark);
    if (said.isEmpty() && judged != Verdict.PASS) {
      throw refused("remark", found(said), remarks(judged));
    }
    return new Given(judged, values, said, name(who));
  }

  /**
   * The name of whoever answers or signs.
   *
   * @throws RefusedAnswerException when there is none
   */
  public static String name(String typed) throws RefusedAnswerException {
    return demanded("who", typed, NAMES);
  }

  /**
   * A text that must not be empty.
   *
   * @param field which part of the answer it is
   * @param allowed for the sentence
   * @throws RefusedAnswerException when it is empty or too long
   */
  public static String demanded(String field, String typed, String allowed)
      throws RefusedAnswerException {
    String text = text(field, typed);
    if (text.isEmpty()) {
      throw refused(field, found(text), allowed);
    }
    return text;
  }

  private static String text(String field, String typed) throws RefusedAnswerException {
    String text = tidy(typed);
    if (text.length() > MOST_LETTERS) {
      throw refused(
          field,
          "Found " + text.length() + " letters",
          "allowed are at most " + MOST_LETTERS + ". Say it shorter.");
    }
    return text;
  }

  private static String found(String text) {
    return "Found " + (text.isEmpty() ? "nothing" : "\"" + text + "\"");
  }

  private static RefusedAnswerException refused(String field, String found, String allowed) {
    return new RefusedAnswerException(field, found + "; " + allowed);
  }
}
