package islet.bench;

import java.util.List;

/** What a scenario's author expects of a run. Times are in microseconds after the run's start. */
public sealed interface Expectation {

  /** As its author wrote it; the verdict repeats it. */
  String text();

  /** Judged from here on. */
  long afterMicros();

  /** Judged up to here. */
  long untilMicros();

  /**
   * A signal takes a value.
   *
   * @param value {@code true} or {@code false} for a signal that knows only these
   * @param withinMicros at the latest so long after {@code afterMicros}
   */
  record Becomes(
      String text,
      String signal,
      String value,
      long withinMicros,
      long afterMicros,
      long untilMicros)
      implements Expectation {}

  /**
   * A signal keeps a value.
   *
   * @param allowingMicros how long it may have another one at a stretch
   */
  record Stays(
      String text,
      String signal,
      String value,
      long allowingMicros,
      long afterMicros,
      long untilMicros)
      implements Expectation {}

  /**
   * A signal stays on one side of a limit.
   *
   * @param allowingMicros how long it may be on the other side at a stretch
   */
  record Bound(
      String text,
      String signal,
      Side side,
      double limit,
      long allowingMicros,
      long afterMicros,
      long untilMicros)
      implements Expectation {}

  /** On which side of a limit. */
  enum Side {
    /** The limit or more. */
    ABOVE,
    /** The limit or less. */
    BELOW
  }

  /**
   * The supervisor goes through exactly these modes, in this order.
   *
   * @param modes the first is the one that stands at {@code afterMicros}
   */
  record Transitions(String text, List<String> modes, long afterMicros, long untilMicros)
      implements Expectation {
    public Transitions {
      modes = List.copyOf(modes);
    }
  }

  /**
   * The supervisor goes from one mode to another.
   *
   * @param notBeforeMicros at the earliest so long after {@code afterMicros}
   * @param withinMicros at the latest so long after {@code afterMicros}
   */
  record Transition(
      String text,
      String from,
      String to,
      long notBeforeMicros,
      long withinMicros,
      long afterMicros,
      long untilMicros)
      implements Expectation {}

  /**
   * An alarm is raised.
   *
   * @param withinMicros at the latest so long after {@code afterMicros}
   */
  record Alarm(String text, String id, long withinMicros, long afterMicros, long untilMicros)
      implements Expectation {}
}
