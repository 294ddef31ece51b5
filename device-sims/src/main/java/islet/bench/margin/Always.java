package islet.bench.margin;

/**
 * □φ over the whole run: the lowest margin that a formula ever has; alone, the lowest value that a
 * signal ever holds, which is its margin of never being below zero.
 *
 * <p>A formula that looks ahead is judged at the instants whose windows the run holds whole.
 * Instants are told as those at which the window has ended and the margin is decided.
 */
public final class Always {

  private final long decidedAfter;

  private boolean started;
  private long at;
  private double current;
  private double lowest = Double.POSITIVE_INFINITY;
  private long lowestAt = -1;
  private long violatedAt = -1;

  /** Judges a signal, as {@link #update} tells it. */
  public Always() {
    decidedAfter = 0;
  }

  /** Judges a formula. */
  public Always(Formula formula) {
    decidedAfter = formula.horizonMicros();
    formula.toldTo((begin, end, value) -> judge(begin, value));
  }

  /**
   * Takes the value from this instant on; +∞ is a time without obligation.
   *
   * @throws IllegalArgumentException when the value is not a number
   */
  public void update(long micros, double value) {
    if (Double.isNaN(value)) {
      throw new IllegalArgumentException("a monitor was given a value that is not a number");
    }
    if (started && micros > at) {
      settle();
    }
    started = true;
    at = micros;
    current = value;
  }

  /** The run ends; the value that holds then still counts. */
  public void finish() {
    if (started) {
      settle();
    }
  }

  private void settle() {
    judge(at, current);
  }

  private void judge(long begin, double value) {
    if (value < lowest) {
      lowest = value;
      lowestAt = begin + decidedAfter;
      if (value < 0 && violatedAt < 0) {
        violatedAt = lowestAt;
      }
    }
  }

  /** The margin in the signal's unit; +∞ when there never was an obligation. */
  public double margin() {
    return lowest;
  }

  /** When the margin was at its lowest, or −1 when there never was an obligation. */
  public long lowestAt() {
    return lowestAt;
  }

  /** The first violation, or −1. */
  public long violatedAt() {
    return violatedAt;
  }
}
