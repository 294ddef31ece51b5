package islet.plant;

/**
 * One node where regulator, charger, inverter, idle draws and the battery's cable meet.
 *
 * <p>Solved in the battery's main current: bus voltage and battery current rise with it, what the
 * others give falls, so the operating point is a single root, found by Newton's method kept inside
 * a bracket. With a constant power on a nearly dead battery there can be two; the bracket then
 * settles on one of them, the same one each time.
 */
final class DcBus {
  private static final int MOST_ITERATIONS = 200;
  private static final double TOLERANCE = 1e-10;
  private static final int BISECT_EVERY = 16;

  private final LeadAcidBattery battery;
  private final RegulatorStage regulator;
  private final RegulatorStage charger;
  private final InverterStage inverter;
  private final double cableOhm;
  private final double lowestIdleV;

  private double idleW;
  private double mainA;
  private double busV;
  private double regulatorA;
  private double chargerA;
  private double inverterA;
  private double idleA;
  private double left;
  private double leftSlope;

  DcBus(
      LeadAcidBattery battery,
      RegulatorStage regulator,
      RegulatorStage charger,
      InverterStage inverter,
      double cableOhm,
      double nominalV) {
    this.battery = battery;
    this.regulator = regulator;
    this.charger = charger;
    this.inverter = inverter;
    this.cableOhm = cableOhm;
    this.lowestIdleV = 0.5 * nominalV;
  }

  /**
   * Finds the operating point; the getters then speak of it.
   *
   * @param idle power drawn at the bus by what is switched on, W
   * @throws SolverException when none is found
   */
  void solve(double idle) {
    idleW = idle;
    double low = -(inverter.largestSinkA() + idle / lowestIdleV + 1);
    double high = regulator.ratedA() + charger.ratedA() + inverter.largestSourceA() + 1;
    double x = Math.max(low, Math.min(high, mainA));
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      evaluate(x);
      if (Math.abs(left)
          <= TOLERANCE
              * (1 + Math.abs(battery.terminalA()) + Math.abs(regulatorA) + Math.abs(chargerA))) {
        mainA = x;
        return;
      }
      if (left > 0) {
        low = x;
      } else {
        high = x;
      }
      double next = x - left / leftSlope;
      // A bisection now and then, for the corners where Newton's steps creep.
      if (!(next > low && next < high) || i % BISECT_EVERY == BISECT_EVERY - 1) {
        next = 0.5 * (low + high);
      }
      x = next;
    }
    throw new SolverException(
        "The DC bus found no operating point: "
            + describe()
            + "; bracket "
            + low
            + " to "
            + high
            + " A.");
  }

  private void evaluate(double x) {
    battery.evaluate(x);
    busV = battery.terminalV() + cableOhm * battery.terminalA();
    double busSlope = battery.terminalSlope() + cableOhm * battery.terminalASlope();
    regulatorA = regulator.currentA(busV);
    chargerA = charger.currentA(busV);
    inverterA = inverter.currentA(busV);
    double u = Math.max(busV, lowestIdleV);
    idleA = idleW * Math.max(0, busV) / (u * u);
    double idleSlope = busV > lowestIdleV ? -idleA / busV : busV > 0 ? idleW / (u * u) : 0;
    left = regulatorA + chargerA + inverterA - idleA - battery.terminalA();
    leftSlope =
        (regulator.slope() + charger.slope() + inverter.slope() - idleSlope) * busSlope
            - battery.terminalASlope();
  }

  String describe() {
    return "bus "
        + busV
        + " V, battery "
        + battery.terminalV()
        + " V "
        + battery.terminalA()
        + " A, state of charge "
        + battery.soc()
        + ", "
        + battery.temperatureC()
        + " °C, regulator "
        + regulatorA
        + " A (set "
        + regulator.setV()
        + " V "
        + regulator.limitA()
        + " A), charger "
        + chargerA
        + " A (set "
        + charger.setV()
        + " V "
        + charger.limitA()
        + " A), inverter "
        + inverterA
        + " A ("
        + inverter.describe()
        + "), idle "
        + idleA
        + " A, left over "
        + left
        + " A with slope "
        + leftSlope;
  }

  double busV() {
    return busV;
  }

  double regulatorA() {
    return regulatorA;
  }

  double chargerA() {
    return chargerA;
  }

  double inverterA() {
    return inverterA;
  }

  double idleActualW() {
    return idleA * busV;
  }

  double regulatorTerminalV() {
    return busV + regulatorA * regulator.cableOhm();
  }

  double chargerTerminalV() {
    return busV + chargerA * charger.cableOhm();
  }

  double cableOhm() {
    return cableOhm;
  }
}
