package islet.plant;

/**
 * What a motor draws while it starts. As long as it starts it is an impedance with a low power
 * factor, as a standing rotor is.
 *
 * @param factor starting current over running current, both at nominal voltage; 4 to 8 for small
 *     motors (common practice)
 * @param seconds how long a start takes, s
 */
public record InrushSpec(double factor, double seconds) {
  /** A load that starts at its running power. */
  public static final InrushSpec NONE = new InrushSpec(1, 0);

  /** Power factor of a starting motor: 0.3 to 0.5 (from memory). */
  static final double POWER_FACTOR = 0.4;

  /** Checks the ranges. */
  public InrushSpec {
    Require.within(factor, 1, 20, "The starting current over the running one");
    Require.within(seconds, 0, 60, "The time of a start in s");
  }

  /** True when a start draws more than running. */
  boolean any() {
    return seconds > 0;
  }

  /**
   * Active power of a starting motor at nominal voltage, W.
   *
   * @param runningW its running power at nominal voltage, W
   * @param powerFactor its running power factor
   */
  double watts(double runningW, double powerFactor) {
    return factor * runningW / powerFactor * POWER_FACTOR;
  }

  /** Reactive over active power while it starts. */
  static double tanPhi() {
    return Math.sqrt(1 - POWER_FACTOR * POWER_FACTOR) / POWER_FACTOR;
  }
}
