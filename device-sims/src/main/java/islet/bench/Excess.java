package islet.bench;

import islet.bench.margin.Sustained;

/** From a value bound with a tolerated duration to a finding. */
final class Excess {

  private Excess() {}

  /**
   * A finding.
   *
   * @param scale the margin's scale, by which formulas of different units compare
   * @param detail the sentence when there was an occasion
   * @param idle the finding when there was none
   */
  static Finding finding(Sustained margin, double scale, String unit, String detail, Finding idle) {
    if (margin.margin() == Double.POSITIVE_INFINITY) {
      return idle;
    }
    boolean violated = margin.violatedAt() >= 0;
    return new Finding(
        margin.margin() / scale,
        margin.margin(),
        unit,
        violated,
        violated ? margin.violatedAt() : margin.lowestAt(),
        detail);
  }
}
