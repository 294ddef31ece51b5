package islet.plant;

/**
 * Voltage of a rested lithium iron phosphate cell against its state of charge at 25 °C, and the
 * energy under that curve.
 *
 * <p>The table from 0 to 100 % is the one that circulates in the trade (common practice, from
 * memory); good to some 20 mV, and charge and discharge differ by about as much in real cells.
 * Between its entries runs the monotone cubic of Fritsch and Carlson, SIAM J. Numerical Analysis
 * 17, 1980, with the slopes of Fritsch and Butland. Outside of it the voltage runs away steeply
 * (ours): a cell has nothing below empty and nowhere to put charge above full.
 */
final class LfpCurve {
  private static final double[] SOC = {
    -0.05, 0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.02
  };

  /** V. */
  private static final double[] VOLTS = {
    1.25, 2.50, 3.00, 3.20, 3.22, 3.25, 3.26, 3.27, 3.30, 3.32, 3.35, 3.40, 3.90
  };

  private static final int LAST = SOC.length - 1;
  private static final int EMPTY = 1;

  /** V per unit of state of charge, at each entry. */
  private static final double[] SLOPE = slopes();

  /** Integral from empty to each entry, V. */
  private static final double[] INTEGRAL = integrals();

  private LfpCurve() {}

  private static double secant(int i) {
    return (VOLTS[i + 1] - VOLTS[i]) / (SOC[i + 1] - SOC[i]);
  }

  private static double[] slopes() {
    double[] slope = new double[SOC.length];
    slope[0] = secant(0);
    slope[LAST] = secant(LAST - 1);
    for (int i = 1; i < LAST; i++) {
      double before = SOC[i] - SOC[i - 1];
      double after = SOC[i + 1] - SOC[i];
      double w1 = 2 * after + before;
      double w2 = after + 2 * before;
      slope[i] = (w1 + w2) / (w1 / secant(i - 1) + w2 / secant(i));
    }
    return slope;
  }

  private static double[] integrals() {
    double[] sum = new double[SOC.length];
    for (int i = EMPTY; i < LAST; i++) {
      sum[i + 1] = sum[i] + simpson(SOC[i], SOC[i + 1]);
    }
    for (int i = EMPTY; i > 0; i--) {
      sum[i - 1] = sum[i] - simpson(SOC[i - 1], SOC[i]);
    }
    return sum;
  }

  private static int piece(double soc) {
    int i = 0;
    while (i < LAST - 1 && soc >= SOC[i + 1]) {
      i++;
    }
    return i;
  }

  /** V per cell. */
  static double volts(double soc) {
    if (soc <= SOC[0]) {
      return VOLTS[0] + (soc - SOC[0]) * SLOPE[0];
    }
    if (soc >= SOC[LAST]) {
      return VOLTS[LAST] + (soc - SOC[LAST]) * SLOPE[LAST];
    }
    int i = piece(soc);
    double h = SOC[i + 1] - SOC[i];
    double t = (soc - SOC[i]) / h;
    double u = 1 - t;
    return u * u * ((1 + 2 * t) * VOLTS[i] + t * h * SLOPE[i])
        + t * t * ((1 + 2 * u) * VOLTS[i + 1] - u * h * SLOPE[i + 1]);
  }

  /** Change of the voltage with the state of charge, V per cell. */
  static double slope(double soc) {
    if (soc <= SOC[0]) {
      return SLOPE[0];
    }
    if (soc >= SOC[LAST]) {
      return SLOPE[LAST];
    }
    int i = piece(soc);
    double t = (soc - SOC[i]) / (SOC[i + 1] - SOC[i]);
    double u = 1 - t;
    return 6 * t * u * secant(i) + u * (u - 2 * t) * SLOPE[i] + t * (t - 2 * u) * SLOPE[i + 1];
  }

  /** Integral of the voltage from empty, V. */
  static double integral(double soc) {
    if (soc <= SOC[0]) {
      return INTEGRAL[0] + simpson(SOC[0], soc);
    }
    if (soc >= SOC[LAST]) {
      return INTEGRAL[LAST] + simpson(SOC[LAST], soc);
    }
    int i = piece(soc);
    return INTEGRAL[i] + simpson(SOC[i], soc);
  }

  /**
   * Integral of the voltage between two states of charge, V; keeps its digits when they are close.
   */
  static double change(double from, double to) {
    boolean outside = Math.max(from, to) < SOC[0] || Math.min(from, to) >= SOC[LAST];
    boolean within = from >= SOC[0] && to >= SOC[0] && from < SOC[LAST] && to < SOC[LAST];
    if (outside || (within && piece(from) == piece(to))) {
      return simpson(from, to);
    }
    return integral(to) - integral(from);
  }

  /** Exact where the curve is one cubic. */
  private static double simpson(double from, double to) {
    return (to - from) / 6 * (volts(from) + 4 * volts(0.5 * (from + to)) + volts(to));
  }
}
