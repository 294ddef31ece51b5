package islet.bench.margin;

/**
 * x ≥ c, a signal against its bound. The margin is x − c, which whoever updates it works out; that
 * of something which is only true or false is plus or minus infinity.
 */
public final class Predicate extends Formula {

  private boolean started;
  private long at;
  private double current;

  /** What is true or false and no more, as a margin. */
  public static double of(boolean holds) {
    return holds ? Double.POSITIVE_INFINITY : Double.NEGATIVE_INFINITY;
  }

  @Override
  public long horizonMicros() {
    return 0;
  }

  /**
   * Takes the margin from this instant on. To be called for all predicates of a formula at the same
   * first instant; a formula remembers what one of them has been told ahead of the others.
   *
   * @throws IllegalArgumentException when the margin is not a number
   */
  public void update(long micros, double margin) {
    if (Double.isNaN(margin)) {
      throw new IllegalArgumentException("a monitor was given a value that is not a number");
    }
    if (started && micros > at) {
      tell(at, micros, current);
    }
    started = true;
    at = micros;
    current = margin;
  }

  /** The run ends; its last instant still counts. */
  public void finish(long endMicros) {
    if (started) {
      tell(at, Math.max(at, endMicros) + 1, current);
      at = Math.max(at, endMicros) + 1;
    }
  }
}
