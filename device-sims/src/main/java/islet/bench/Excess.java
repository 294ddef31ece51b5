package islet.bench;

import islet.bench.margin.Sustained;
import java.util.function.DoubleFunction;

/** From a value bound with a tolerated duration to a finding. */
final class Excess {

  private Excess() {}

  /**
   * A finding.
   *
   * @param scale the margin's scale, by which formulas of different units compare
   * @param detail makes the sentence out of the margin when there was an occasion
   * @param idle the finding when there was none
   */
  static Finding finding(
      Sustained monitor, double scale, String unit, DoubleFunction<String> detail, Finding idle) {
    double margin = monitor.margin();
    if (margin == Double.POSITIVE_INFINITY) {
      return idle;
    }
    boolean violated = monitor.violatedAt() >= 0;
    return new Finding(
        margin / scale,
        margin,
        unit,
        violated,
        violated ? monitor.violatedAt() : monitor.lowestAt(),
        detail.apply(margin));
  }
}
