package islet.bench;

/**
 * What one formula of a hazard came to.
 *
 * @param share the margin as a share of its scale, by which formulas of different units compare
 * @param margin in the unit
 * @param atMicros the first violation, or the worst instant when there was none; −1 when there
 *     never was an occasion
 * @param detail a sentence for a person
 */
record Finding(
    double share, double margin, String unit, boolean violated, long atMicros, String detail) {

  /** A formula that never had an occasion to be violated; its whole bound is left. */
  static Finding idle(double margin, String unit, String detail) {
    return new Finding(1, margin, unit, false, -1, detail);
  }

  /**
   * The tighter of two, a violated one before one that is not; when both are violated, with the
   * instant of the first violation of either.
   */
  Finding tighter(Finding other) {
    if (violated && other.violated) {
      Finding worse = other.share < share ? other : this;
      return worse.at(Math.min(atMicros, other.atMicros));
    }
    if (violated || other.violated) {
      return violated ? this : other;
    }
    // An idle formula says nothing about the run as long as another one had its occasion.
    if (atMicros < 0 || other.atMicros < 0) {
      return atMicros < 0 ? other : this;
    }
    return other.share < share ? other : this;
  }

  private Finding at(long micros) {
    return new Finding(share, margin, unit, violated, micros, detail);
  }
}
