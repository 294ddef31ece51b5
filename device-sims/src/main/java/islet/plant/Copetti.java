package islet.plant;

/**
 * The lead-acid model of Copetti, Lorenzo and Chenlo, Progress in Photovoltaics 1, 1993, as
 * published (from memory), per cell. Currents in A, capacity in Ah.
 *
 * <p>The bank in {@link LeadAcidBattery} takes its resistances from here; see there for what it
 * changes and why.
 */
final class Copetti {
  private Copetti() {}

  /** Share of the ten-hour capacity given at a current, as a function of I/I10 and warming, K. */
  static double capacityShare(double currentOverI10, double warmerK) {
    return 1.67 / (1 + 0.67 * StrictMath.pow(currentOverI10, 0.9)) * (1 + 0.005 * warmerK);
  }

  /** Voltage per cell while discharging. */
  static double dischargeV(double soc, double amps, double c10Ah, double warmerK) {
    return 2.085
        - 0.12 * (1 - soc)
        - amps
            / c10Ah
            * (4 / (1 + StrictMath.pow(amps, 1.3)) + dischargeTerm(soc) + 0.02)
            * (1 - 0.007 * warmerK);
  }

  /** The part of the discharge resistance that grows as the cell empties. */
  static double dischargeTerm(double soc) {
    return 0.27 / (soc * Math.sqrt(soc));
  }

  /** Share of the charging current that is stored; the rest makes gas. */
  static double chargeEfficiency(double soc, double currentOverI10) {
    return -StrictMath.expm1(20.73 / (currentOverI10 + 0.55) * (soc - 1));
  }
}
