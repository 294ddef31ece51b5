package islet.plant;

/** The principal branch of Lambert's W, the inverse of {@code w·exp(w)}, for positive arguments. */
final class LambertW {
  private static final int MOST_ITERATIONS = 40;

  private LambertW() {}

  /**
   * W of an argument given by its logarithm, so that arguments beyond the range of a double work.
   * Newton's method on {@code w + ln w = logX}, which converges from any positive start below the
   * root since the left side is concave.
   *
   * @param logX natural logarithm of the argument
   * @return W(exp(logX)), relative error about 1e-15
   */
  static double ofExp(double logX) {
    if (logX < -37) {
      return StrictMath.exp(logX);
    }
    double w;
    if (logX > 1) {
      w = logX - StrictMath.log(logX);
    } else {
      double x = StrictMath.exp(logX);
      w = x / (1 + x);
    }
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      double next = w * (1 + logX - StrictMath.log(w)) / (1 + w);
      if (Math.abs(next - w) <= 4e-16 * w) {
        return next;
      }
      w = next;
    }
    return w;
  }
}
