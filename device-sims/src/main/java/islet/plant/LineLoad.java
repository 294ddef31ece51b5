package islet.plant;

/**
 * What hangs on our section of the utility's line: resistance, inductance and capacitance in
 * parallel, as in the anti-islanding test of IEEE Std 1547.1 (from memory), by what they take at
 * nominal voltage and frequency.
 *
 * @param watts by the resistance, W
 * @param inductiveVar by the inductance, var; falls with frequency
 * @param capacitiveVar given by the capacitance, var; rises with frequency
 */
public record LineLoad(double watts, double inductiveVar, double capacitiveVar) {
  /** Checks the ranges. */
  public LineLoad {
    Require.notNegative(watts, "The load left on the line in W");
    Require.notNegative(inductiveVar, "The inductive load left on the line in var");
    Require.notNegative(capacitiveVar, "The capacitive load left on the line in var");
  }

  /** Neighbours who take active power only. */
  static LineLoad resistive(double watts) {
    return new LineLoad(watts, 0, 0);
  }

  /**
   * The load that takes from the site what the utility's source takes from it now, so that voltage
   * and frequency would stay as they are when the source opens.
   *
   * @param sourceW active power into the source, W at the source's voltage
   * @param sourceVar reactive power into the source, var
   * @param sourcePu the source's voltage, pu
   * @param share active power of the load over that into the source; 1 is a perfect match
   * @param qualityFactor reactive power in the inductance over active power: √(C/L)·R, 1 in the
   *     standard's test
   * @param imbalance capacitive vars too many, over active power; 0 is a perfect match
   */
  static LineLoad matching(
      double sourceW,
      double sourceVar,
      double sourcePu,
      double share,
      double qualityFactor,
      double imbalance) {
    double base = Math.max(0, sourceW) / (sourcePu * sourcePu);
    double lagging = sourceVar / (sourcePu * sourcePu);
    double inductive = qualityFactor * base + Math.max(0, lagging);
    double capacitive = inductive - lagging + imbalance * base;
    return new LineLoad(share * base, inductive, Math.max(0, capacitive));
  }
}
