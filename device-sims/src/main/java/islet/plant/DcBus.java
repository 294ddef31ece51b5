package islet.plant;

/**
 * One node where regulator, charger, inverter, idle draws and the battery's cable meet.
 *
 * <p>Solved in the battery's main current: bus voltage and battery current rise with it, what the
 * others give falls, so the operating point is a single root, found by Newton's method kept inside
 * a bracket. With a constant power on a nearly dead battery there can be two; the bracket then
 * settles on one of them, the same one each time.
 *
 * <p>With the battery's contactor open there is no such current, and the bus is solved in its own
 * voltage: from where it stood it moves the way the current left over would charge or discharge it,
 * to the first point where none is left. That is what a bus with a little capacitance does, and it
 * settles on a bus that lives, browns out, or dies.
 */
final class DcBus {
  private static final int MOST_ITERATIONS = 200;
  private static final double TOLERANCE = 1e-10;
  private static final int BISECT_EVERY = 16;

  /** Rounding of the bus voltage on its way through the battery's equations, in last digits. */
  private static final int LAST_DIGITS = 8;

  /** How finely a bus without a battery is searched for the next operating point. */
  private static final int SEARCH_STEPS = 48;

  private final Battery battery;
  private final RegulatorStage regulator;
  private final RegulatorStage charger;
  private final InverterStage inverter;
  private final double cableOhm;
  private final double lowestIdleV;

  private double idleW;
  private Contactor contactor = Contactor.CLOSED;
  private double mainA;
  private double busV;
  private double regulatorA;
  private double chargerA;
  private double inverterA;
  private double idleA;
  private double left;
  private double leftSlope;

  DcBus(
      Battery battery,
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

  void setContactor(Contactor position) {
    contactor = position;
  }

  Contactor contactor() {
    return contactor;
  }

  /** Whether anything on this bus can take a charging current. */
  boolean takesCharge() {
    return contactor == Contactor.CLOSED;
  }

  /**
   * Finds the operating point; the getters then speak of it.
   *
   * @param idle power drawn at the bus by what is switched on, W
   * @throws SolverException when none is found
   */
  void solve(double idle) {
    idleW = idle;
    double high = regulator.ratedA() + charger.ratedA() + inverter.largestSourceA() + 1;
    switch (contactor) {
      case CLOSED -> solveWithBattery(high);
      case OPEN -> {
        rest();
        solveWithout(busV);
      }
      case DISCHARGE_ONLY -> {
        double none = rest();
        evaluate(none);
        if (left > TOLERANCE) {
          // What the others give lifts the bus off the battery.
          solveWithout(busV);
        } else if (left < -TOLERANCE) {
          solveWithBattery(none);
        }
      }
    }
  }

  /** Takes the battery to no current at its terminals; returns its main current then, A. */
  private double rest() {
    battery.evaluate(0);
    double low = -battery.terminalA();
    double high = 0;
    double x = low;
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      battery.evaluate(x);
      double amps = battery.terminalA();
      if (Math.abs(amps) <= TOLERANCE) {
        return x;
      }
      if (amps < 0) {
        low = x;
      } else {
        high = x;
      }
      double next = x - amps / battery.terminalASlope();
      x = next > low && next < high ? next : 0.5 * (low + high);
    }
    throw new SolverException(
        "The battery found no rest: " + describe() + "; bracket " + low + " to " + high + " A.");
  }

  private void solveWithBattery(double most) {
    double low = -(inverter.largestSinkA() + idleW / lowestIdleV + 1);
    double high = most;
    boolean lowHolds = false;
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
        lowHolds = true;
      } else {
        high = x;
      }
      double next = x - left / leftSlope;
      if (next <= low && !lowHolds) {
        low = belowGas(low);
        lowHolds = true;
      }
      // A bisection now and then, for the corners where Newton's steps creep.
      if (!(next > low && next < high) || i % BISECT_EVERY == BISECT_EVERY - 1) {
        next = 0.5 * (low + high);
      }
      x = next;
    }
    if (!asFineAsNumbersAre()) {
      throw none(low, high, "A");
    }
    mainA = x;
  }

  /** A hot full bank makes gas of amperes: where its terminals still give at least this current. */
  private double belowGas(double amps) {
    battery.evaluate(amps);
    return 2 * amps - battery.terminalA();
  }

  /** From a bus voltage to the next one where no current is left over; 0 when there is none. */
  private void solveWithout(double fromV) {
    // Sources give nothing above their set points, so the bus can't rise beyond.
    double top =
        Math.max(
            Math.max(
                regulator.awake() ? regulator.setV() : 0, charger.awake() ? charger.setV() : 0),
            inverter.highestSourceV());
    double step = top / SEARCH_STEPS;
    double start = Math.max(0, Math.min(top, fromV));
    exchange(start);
    double low = start;
    double high = start;
    if (left > 0) {
      while (left > 0 && high < top) {
        low = high;
        high = Math.min(top, high + step);
        exchange(high);
      }
    } else {
      while (left <= 0 && low > 0) {
        high = low;
        low = Math.max(0, low - step);
        exchange(low);
      }
      if (left <= 0) {
        exchange(0);
        return;
      }
    }
    findBetween(low, high);
  }

  private void findBetween(double lowest, double highest) {
    double low = lowest;
    double high = highest;
    // The lower end may be the very point, where the bus stood all the time.
    double v = low;
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      exchange(v);
      // Only where it falls through nothing: beyond the set points it is nothing everywhere.
      if (leftSlope < 0
          && Math.abs(left) <= TOLERANCE * (1 + Math.abs(regulatorA) + Math.abs(chargerA))) {
        return;
      }
      if (left > 0) {
        low = v;
      } else {
        high = v;
      }
      double next = v - left / leftSlope;
      if (!(next > low && next < high) || i % BISECT_EVERY == BISECT_EVERY - 1) {
        next = 0.5 * (low + high);
      }
      v = next;
    }
    if (!asFineAsNumbersAre()) {
      throw none(low, high, "V");
    }
  }

  /**
   * True when what is left over is what the last digits of the bus voltage make of the currents of
   * converters with next to no droop: no number comes closer.
   */
  private boolean asFineAsNumbersAre() {
    double steepness = Math.abs(regulator.slope() + charger.slope() + inverter.slope());
    return Math.abs(left) <= LAST_DIGITS * Math.ulp(busV) * steepness;
  }

  private SolverException none(double low, double high, String unit) {
    return new SolverException(
        "The DC bus found no operating point: "
            + describe()
            + "; bracket "
            + low
            + " to "
            + high
            + " "
            + unit
            + ".");
  }

  private void evaluate(double x) {
    battery.evaluate(x);
    exchange(battery.terminalV() + cableOhm * battery.terminalA());
    double busSlope = battery.terminalSlope() + cableOhm * battery.terminalASlope();
    left -= battery.terminalA();
    leftSlope = leftSlope * busSlope - battery.terminalASlope();
  }

  /** What everybody but the battery gives at a bus voltage, and how that changes with it. */
  private void exchange(double volts) {
    busV = volts;
    regulatorA = regulator.currentA(busV);
    chargerA = charger.currentA(busV);
    inverterA = inverter.currentA(busV);
    double u = Math.max(busV, lowestIdleV);
    idleA = idleW * Math.max(0, busV) / (u * u);
    double idleSlope = busV > lowestIdleV ? -idleA / busV : busV > 0 ? idleW / (u * u) : 0;
    left = regulatorA + chargerA + inverterA - idleA;
    leftSlope = regulator.slope() + charger.slope() + inverter.slope() - idleSlope;
  }

  String describe() {
    return "bus "
        + busV
        + " V, contactor "
        + contactor
        + ", battery "
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
