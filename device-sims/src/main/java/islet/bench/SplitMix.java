package islet.bench;

/**
 * Seeded chance whose sequence is fixed by its published text and not by the JDK's version.
 *
 * <p>SplitMix64: Steele, Lea, Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014.
 */
public final class SplitMix {

  private long state;

  /** A sequence of its own for each seed. */
  public SplitMix(long seed) {
    state = seed;
  }

  /** The next 64 bits. */
  public long next() {
    state += 0x9E3779B97F4A7C15L;
    long z = state;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }

  /** A number from 0 (included) to 1 (excluded), of 53 bits. */
  public double fraction() {
    return (next() >>> 11) * 0x1.0p-53;
  }

  /**
   * A whole number from 0 to the bound, the bound excluded. The bias is below bound / 2^53.
   *
   * @param bound 1 or more
   */
  public long below(long bound) {
    return (long) (fraction() * bound);
  }
}
