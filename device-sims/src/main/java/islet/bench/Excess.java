package islet.bench;

import islet.bench.margin.Sustained;
import java.util.Optional;
import java.util.function.DoubleFunction;

/** From a value bound with a tolerated duration to a finding. */
final class Excess {

  private Excess() {}

  /**
   * How far a value is from its bound now.
   *
   * @param scale the margin's scale
   * @param detail makes a sentence without its full stop out of the margin
   * @return empty while there is no obligation
   */
  static Optional<Distance> distance(
      Sustained monitor, long micros, double scale, String unit, DoubleFunction<String> detail) {
    double left = monitor.current();
    if (left == Double.POSITIVE_INFINITY) {
      return Optional.empty();
    }
    String beyond =
        left < 0
            ? ", beyond it for "
                + Amount.of(monitor.brokenS(micros), "s")
                + "; tolerated are "
                + Amount.of(monitor.toleratedS(), "s")
            : "";
    return Optional.of(new Distance(left / scale, left, unit, detail.apply(left) + beyond + "."));
  }

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
