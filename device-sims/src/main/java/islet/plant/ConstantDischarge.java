package islet.plant;

/**
 * A bank at one temperature, discharged from full by one current; its books are kept throughout.
 */
final class ConstantDischarge {
  private static final double LONGEST_STEP_S = 5;

  private ConstantDischarge() {}

  /**
   * How long it lasts, h.
   *
   * @param amps constant current out of it, A
   * @param cutV where it ends, V per cell
   * @param celsius held temperature, °C
   */
  static double hours(BatterySpec spec, double amps, double cutV, double celsius) {
    Battery battery = Battery.of(spec, 1, 1, celsius);
    Ledger ledger = new Ledger(battery.storedJ(), battery.wellsC());
    double seconds = 0;
    while (true) {
      battery.setTemperatureC(celsius);
      double step = Math.min(LONGEST_STEP_S, battery.longestStepS());
      battery.prepare(step);
      battery.evaluate(-amps);
      if (battery.terminalV() < cutV * spec.cells()) {
        return seconds / 3600;
      }
      battery.advance(ledger);
      seconds += step;
    }
  }
}
