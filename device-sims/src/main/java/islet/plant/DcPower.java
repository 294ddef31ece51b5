package islet.plant;

/** Current of a constant power through a cable of resistance r, from the bus voltage v. */
final class DcPower {
  /** A current no part can reach; stands for infinity at vanishing voltage. */
  static final double HUGE_A = 1e9;

  private DcPower() {}

  /** Current that a source of this power gives: {@code i·(v + i·r) = w}. */
  static double given(double watts, double v, double r) {
    double u = Math.max(0, v);
    double d = u + Math.sqrt(u * u + 4 * r * watts);
    return d * HUGE_A <= 2 * watts ? HUGE_A : 2 * watts / d;
  }

  static double slopeGiven(double amps, double v, double r) {
    return -amps / (v + 2 * amps * r);
  }

  /**
   * Current that a sink of this power takes: {@code i·(v − i·r) = w}; where the cable can't carry
   * that much, the most it can.
   */
  static double taken(double watts, double v, double r) {
    double under = v * v - 4 * r * watts;
    return under > 0 ? 2 * watts / (v + Math.sqrt(under)) : 2 * watts / v;
  }

  static double slopeTaken(double amps, double v, double r) {
    return -amps / Math.max(0.1 * v, v - 2 * amps * r);
  }
}
