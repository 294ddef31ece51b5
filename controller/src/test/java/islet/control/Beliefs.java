package islet.control;

/** What a coordinator believes when every measurement is in order. */
final class Beliefs {

  private Beliefs() {}

  /** This voltage, and current and temperature as the meter tells them. */
  static Belief of(double voltageV, Inputs in) {
    Belief belief = new Belief();
    belief.voltageV = voltageV;
    belief.currentA = in.meter().batteryCurrentA();
    belief.coldestC = in.meter().batteryTemperatureC();
    belief.warmestC = belief.coldestC;
    return belief;
  }
}
