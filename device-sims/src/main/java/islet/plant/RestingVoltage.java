package islet.plant;

/**
 * Voltage of a rested flooded cell against its well's head (state of charge when both wells are
 * level), and the energy under that curve in closed form.
 *
 * <p>{@code E(h) = 1.890139 + 0.274583·h − 0.043056·h²} V, a parabola through three entries (100,
 * 50 and 20 %) of the handbook table of resting voltages at 25 °C; it meets the other six within 8
 * mV per 12 V. Below 15 % a cubic knee lets the voltage collapse as the well runs dry, as it does;
 * the knee's size is our choice (0.3 V at empty).
 */
final class RestingVoltage {
  private static final double E0 = 1.890139;
  private static final double E1 = 0.274583;
  private static final double E2 = -0.043056;
  private static final double KNEE_HEAD = 0.15;
  private static final double KNEE = 0.3 / (KNEE_HEAD * KNEE_HEAD * KNEE_HEAD);

  private RestingVoltage() {}

  /** V per cell. */
  static double volts(double head) {
    return E0 + head * (E1 + head * E2) - kneeV(head);
  }

  /** What of the voltage has collapsed as the well runs dry, V per cell. */
  static double kneeV(double head) {
    double d = Math.max(0, KNEE_HEAD - head);
    return KNEE * d * d * d;
  }

  /** dE/dh, V per cell. */
  static double slope(double head) {
    double s = E1 + 2 * E2 * head;
    if (head < KNEE_HEAD) {
      double d = KNEE_HEAD - head;
      s += 3 * KNEE * d * d;
    }
    return s;
  }

  /** Integral of E from zero to a head, V per cell. */
  static double integral(double head) {
    return change(0, head);
  }

  /** Integral of E between two heads, V per cell; keeps its digits when they are close. */
  static double change(double from, double to) {
    double d = to - from;
    double mean = 0.5 * (from + to);
    double result = d * (E0 + E1 * mean + E2 * (mean * mean + d * d / 12));
    double a = Math.max(0, KNEE_HEAD - from);
    double b = Math.max(0, KNEE_HEAD - to);
    if (a > 0 || b > 0) {
      // a⁴ − b⁴, factored.
      result -= 0.25 * KNEE * (a - b) * (a + b) * (a * a + b * b);
    }
    return result;
  }
}
