package islet.device;

/**
 * Noise that is a function of seed and instant alone: whoever reads a sensor twice at one instant
 * reads the same, and how often it is read changes nothing.
 */
final class Noise {

  /** So many evenly spread numbers make nearly a normal one, with a variance of 1 in all. */
  private static final int TERMS = 12;

  private Noise() {}

  /**
   * A number of mean 0 and standard deviation 1, within ±6: the sum of twelve evenly spread ones
   * (textbook form).
   */
  static double at(long seed, long micros) {
    long state = mix(seed ^ micros);
    double sum = -TERMS / 2.0;
    for (int i = 0; i < TERMS; i++) {
      state += 0x9E3779B97F4A7C15L;
      sum += (mix(state) >>> 11) * 0x1.0p-53;
    }
    return sum;
  }

  /** The finaliser of SplitMix64 (Steele, Lea, Flood, OOPSLA 2014). */
  private static long mix(long bits) {
    long z = (bits ^ (bits >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }
}
