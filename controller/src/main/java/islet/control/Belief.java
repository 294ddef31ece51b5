package islet.control;

/** What the charge coordinator is to believe of the battery in this scan. */
final class Belief {

  /** Voltage at the terminals, V. */
  double voltageV;

  /** Current into the battery, A. */
  double currentA;

  /** Whether the current is good enough to tell a full battery by its tail. */
  boolean currentSure = true;

  /** The colder of the temperatures told, °C. */
  double coldestC;

  /** The warmer, °C: it sets the voltages. */
  double warmestC;

  /** Whether any temperature is told. */
  boolean temperatureKnown = true;

  /**
   * Whether so little is left to believe that charging goes carefully: at half the battery's limit
   * and at no more than the float voltage (common practice).
   */
  boolean careful;
}
