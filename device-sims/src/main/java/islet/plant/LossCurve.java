package islet.plant;

/**
 * A converter's loss against its output: {@code p0 + k1·p + k2·p²} through three points of an
 * efficiency curve, at least the idle draw, in W.
 *
 * <p>What {@code p0} holds beyond the idle draw sets in over the first watts of output, so that a
 * converter on the verge of working is continuous. Valid from zero output to about twice the
 * rating.
 */
public final class LossCurve {
  private final double idleW;
  private final double p0;
  private final double k1;
  private final double k2;
  private final double softW;

  private LossCurve(double idleW, double p0, double k1, double k2) {
    this.idleW = idleW;
    this.p0 = p0;
    this.k1 = k1;
    this.k2 = k2;
    this.softW = Math.max(0, p0 - idleW);
  }

  /**
   * The curve through three efficiencies.
   *
   * @param ratedW rated output, W
   * @param efficiency output over input at 10, 50 and 100 % of it
   * @param idleW draw with no output, W
   * @throws IllegalArgumentException when the points bend the wrong way or idle exceeds the loss at
   *     10 % output
   */
  public static LossCurve through(double ratedW, Efficiency efficiency, double idleW) {
    double pa = 0.1 * ratedW;
    double pb = 0.5 * ratedW;
    double pc = ratedW;
    double la = pa * (1 / efficiency.at10() - 1);
    double lb = pb * (1 / efficiency.at50() - 1);
    double lc = pc * (1 / efficiency.at100() - 1);
    double slopeAb = (lb - la) / (pb - pa);
    double slopeBc = (lc - lb) / (pc - pb);
    double k2 = (slopeBc - slopeAb) / (pc - pa);
    double k1 = slopeAb - k2 * (pa + pb);
    double p0 = la - k1 * pa - k2 * pa * pa;
    Require.that(
        k2 >= 0 && k1 > -0.2,
        "The efficiencies "
            + efficiency.at10()
            + ", "
            + efficiency.at50()
            + " and "
            + efficiency.at100()
            + " at 10, 50 and 100 % of rated power need a loss that bends downwards; losses grow at"
            + " least in proportion to power, so check the three figures.");
    Require.that(
        idleW <= la && p0 - idleW < pa,
        "The idle draw of "
            + idleW
            + " W exceeds the whole loss at 10 % of rated power, "
            + la
            + " W, that the efficiencies give; check both.");
    return new LossCurve(idleW, p0, k1, k2);
  }

  /** Loss, W, idle draw included, while giving this output, W (zero or above). */
  public double lossW(double outputW) {
    double bend = (k1 + k2 * outputW) * outputW;
    return softW > 0
        ? Math.max(idleW, idleW + Math.min(softW, outputW) + bend)
        : Math.max(idleW, p0 + bend);
  }

  /** The output, W, that uses up this input, W; zero when the input doesn't cover the idle draw. */
  public double outputW(double inputW) {
    double spare = inputW - idleW;
    if (spare <= 0) {
      return 0;
    }
    double p;
    if (softW > 0) {
      p = root(2 + k1, spare);
      if (p > softW) {
        p = root(1 + k1, spare - softW);
      }
    } else {
      p = root(1 + k1, inputW - p0);
    }
    // Where the fitted curve lies below the idle draw, the idle draw is all that is lost.
    return Math.min(p, spare);
  }

  /** The positive root of {@code k2·p² + slope·p = input}. */
  private double root(double slope, double inputW) {
    return 2 * inputW / (slope + Math.sqrt(slope * slope + 4 * k2 * inputW));
  }

  /** Draw with no output, W. */
  public double idleW() {
    return idleW;
  }
}
