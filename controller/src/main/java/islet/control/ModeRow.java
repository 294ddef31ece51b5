package islet.control;

/**
 * One line of the mode machine's table.
 *
 * @param from where it applies
 * @param on what must have happened, in words; told as the reason of the transition
 * @param condition the same as code
 * @param to where it leads
 * @param doing what is done on the way, in words; empty for nothing
 * @param action the same as code
 */
public record ModeRow(
    Phase from, String on, Condition condition, Phase to, String doing, Action action) {

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
