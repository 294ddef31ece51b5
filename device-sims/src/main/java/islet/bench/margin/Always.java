package islet.bench.margin;

/**
 * □ (margin ≥ 0): the lowest value that a signal ever holds, which is its margin of never being
 * below zero.
 */
public final class Always {

  private boolean started;
  private long at;
  private double current;
  private double lowest = Double.POSITIVE_INFINITY;
  private long lowestAt = -1;
  private long violatedAt = -1;

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
    if (current < lowest) {
      lowest = current;
      lowestAt = at;
      if (current < 0 && violatedAt < 0) {
        violatedAt = at;
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
