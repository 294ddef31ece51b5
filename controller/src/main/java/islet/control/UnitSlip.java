package islet.control;

/**
 * Recognises a meter that reports in the wrong unit: millivolts where volts are due, or kilovolts.
 * Set right by a factor of a thousand its value would agree with a sound meter. It is named, never
 * used: who swaps a unit once may swap it back (common practice).
 */
final class UnitSlip {

  /**
   * How near a value set right must come to the sound one: wide enough for the drop of a cable
   * under load, far from any plausible true reading (common practice).
   */
  private static final double NEAR_SHARE = 0.1;

  private UnitSlip() {}

  /**
   * Whether a value slipped by a factor of a thousand beside a sound one.
   *
   * @param value what the meter reports, as if in V
   * @param soundV a voltage that is believed, V, above 0
   */
  static boolean between(double value, double soundV) {
    return near(value / 1000, soundV) || near(value * 1000, soundV);
  }

  private static boolean near(double value, double soundV) {
    return Math.abs(value - soundV) <= NEAR_SHARE * soundV;
  }
}
