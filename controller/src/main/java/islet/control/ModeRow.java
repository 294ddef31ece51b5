package islet.control;

import java.util.List;

/**
 * One line of the mode machine's table.
 *
 * @param from where it applies
 * @param on what must have happened, in words; told as the reason of the transition
 * @param condition the same as code
 * @param to where it leads
 * @param doing what is done on the way, in words; empty for nothing
 * @param action the same as code
 * @param waits what takes time before it can apply; while one of them counts and is not over, it
 *     does not
 * @param where at which sites it waits for that; at others it never applies
 */
public record ModeRow(
    Phase from,
    String on,
    Condition condition,
    Phase to,
    String doing,
    Action action,
    List<Wait> waits,
    Condition where) {

  /** What takes time is copied. */
  public ModeRow {
    waits = List.copyOf(waits);
  }

  /** The same line with what takes time. */
  ModeRow waiting(Condition at, Wait... times) {
    return new ModeRow(from, on, condition, to, doing, action, List.of(times), at);
  }

  /** Whether a line applies. */
  @FunctionalInterface
  interface Condition {
    boolean holds(Situation situation);
  }

  /** What is done when a line is taken. */
  @FunctionalInterface
  interface Action {
    void run(Situation situation);
  }
}
