package islet.plant;

/**
 * One efficiency for a converter that works at many loads: the mean over parts of rated output,
 * weighted by how often a climate brings them.
 *
 * <p>The weights suit an inverter that feeds what an array gives. A stage behind a battery works at
 * the loads' power instead; the figure then says how good its curve is, not what a year will lose.
 */
public final class WeightedEfficiency {
  /** Parts of rated output and their weights, EN 50530. */
  private static final double[][] EUROPEAN = {
    {0.05, 0.03}, {0.10, 0.06}, {0.20, 0.13}, {0.30, 0.10}, {0.50, 0.48}, {1.00, 0.20}
  };

  /** Parts of rated output and their weights, California Energy Commission protocol of 2004. */
  private static final double[][] CALIFORNIAN = {
    {0.10, 0.04}, {0.20, 0.05}, {0.30, 0.12}, {0.50, 0.21}, {0.75, 0.53}, {1.00, 0.05}
  };

  private WeightedEfficiency() {}

  /**
   * European efficiency, 0 to 1.
   *
   * @param losses the converter's loss curve
   * @param ratedW its rated output, W
   */
  public static double european(LossCurve losses, double ratedW) {
    return weighted(EUROPEAN, losses, ratedW);
  }

  /**
   * Californian (CEC) efficiency, 0 to 1.
   *
   * @param losses the converter's loss curve
   * @param ratedW its rated output, W
   */
  public static double californian(LossCurve losses, double ratedW) {
    return weighted(CALIFORNIAN, losses, ratedW);
  }

  private static double weighted(double[][] weights, LossCurve losses, double ratedW) {
    double sum = 0;
    for (double[] point : weights) {
      double out = point[0] * ratedW;
      sum += point[1] * out / (out + losses.lossW(out));
    }
    return sum;
  }
}
