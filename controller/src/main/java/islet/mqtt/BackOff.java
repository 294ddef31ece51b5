package islet.mqtt;

import java.util.function.DoubleSupplier;

/**
 * Pauses between attempts: they double up to a longest one, and each is shortened by chance to
 * between a half and the whole, so that clients that were lost together do not come back together.
 * Not safe for several threads.
 */
final class BackOff {

  private final long firstMillis;
  private final long longestMillis;
  private final DoubleSupplier chance;
  private long nextMillis;

  /**
   * Sets up the first pause.
   *
   * @param chance numbers from 0 (included) to 1 (excluded)
   */
  BackOff(long firstMillis, long longestMillis, DoubleSupplier chance) {
    this.firstMillis = firstMillis;
    this.longestMillis = longestMillis;
    this.chance = chance;
    nextMillis = firstMillis;
  }

  /** The pause before the next attempt, ms. */
  long pauseMillis() {
    long whole = nextMillis;
    nextMillis = Math.min(longestMillis, nextMillis * 2);
    return Math.max(1, Math.round(whole * (0.5 + 0.5 * chance.getAsDouble())));
  }

  /** Starts again from the first pause. */
  void reset() {
    nextMillis = firstMillis;
  }
}
