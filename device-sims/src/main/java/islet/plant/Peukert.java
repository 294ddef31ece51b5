package islet.plant;

/** Peukert's law in its textbook form, for comparison; the banks here don't use it. */
final class Peukert {
  private Peukert() {}

  /**
   * How long a bank lasts, h.
   *
   * @param ratedAh capacity at the rated time, Ah
   * @param ratedH rated time, h
   * @param amps constant current, A
   * @param exponent 1 for an ideal bank, about 1.2 for a flooded one
   */
  static double hours(double ratedAh, double ratedH, double amps, double exponent) {
    return ratedH * power(ratedAh / (amps * ratedH), exponent);
  }

  private static double power(double base, double exponent) {
    return StrictMath.exp(exponent * StrictMath.log(base));
  }
}
