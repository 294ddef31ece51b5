package islet.plant;

/** What a new bank shows at its terminals, at rest and under a load, by the model that runs use. */
public final class TerminalVoltage {

  private static final double REFERENCE_C = 25;

  private TerminalVoltage() {}

  /**
   * Voltage of a rested bank at 25 °C, V.
   *
   * @param soc state of charge, 0 to 1
   */
  public static double restingV(BatterySpec bank, double soc) {
    return loadedV(bank, soc, 0, REFERENCE_C);
  }

  /**
   * Voltage of a rested bank at once after a load came on, V.
   *
   * @param soc state of charge, above 0 to 1
   * @param amps drawn, A, zero or above
   * @param celsius of the cells
   */
  public static double loadedV(BatterySpec bank, double soc, double amps, double celsius) {
    return new LoneBank(bank, soc, 1, celsius).volts(-amps);
  }
}
