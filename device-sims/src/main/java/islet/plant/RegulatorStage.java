package islet.plant;

/**
 * A charge regulator's power stage as the bus sees it: a voltage source with droop, limited by
 * current and by what the array can give. Its current never rises with the bus voltage, so that the
 * bus has one operating point.
 */
abstract class RegulatorStage {
  private final double ratedA;
  private final double droopOhm;
  private final double cableOhm;

  private boolean on;
  private double setV;
  private double limitA;

  private double slope;

  RegulatorStage(double ratedA, double droopOhm, double cableOhm) {
    this.ratedA = ratedA;
    this.droopOhm = droopOhm;
    this.cableOhm = cableOhm;
  }

  /** The stage of a regulator between this array and a bank of this nominal voltage. */
  static RegulatorStage of(RegulatorSpec spec, PvArray array, double nominalV) {
    return switch (spec.kind()) {
      case MPPT -> TrackingStage.of(spec, nominalV);
      case PWM -> new PwmStage(spec, array);
    };
  }

  void set(boolean switchedOn, double setV, double limitA) {
    this.on = switchedOn;
    this.setV = setV;
    this.limitA = Math.max(0, Math.min(limitA, ratedA));
  }

  /** Says what its source could give, W. */
  abstract void offer(double availableW);

  /** Current into the bus at a bus voltage, A. */
  double currentA(double busV) {
    slope = 0;
    if (!awake() || busV >= setV) {
      return 0;
    }
    double held = (setV - busV) / (droopOhm + cableOhm);
    double given = sourceA(busV);
    if (held <= given && held <= limitA) {
      slope = -1 / (droopOhm + cableOhm);
      return held;
    }
    if (given <= limitA) {
      slope = sourceSlope(given, busV);
      return given;
    }
    return limitA;
  }

  /** The most that its source gives at a bus voltage, A. */
  abstract double sourceA(double busV);

  /** Slope of {@link #sourceA}, A/V, at the voltage it was asked for last. */
  abstract double sourceSlope(double amps, double busV);

  /** Slope of the last current asked for, A/V. */
  double slope() {
    return slope;
  }

  /** True when it is on and its source has something to give. */
  abstract boolean awake();

  /** What it draws from the bus for itself, W. */
  abstract double idleFromBusW();

  /**
   * Lost between source and output, W.
   *
   * @param outputW at its output terminals
   * @param amps out of them
   */
  abstract double lossW(double outputW, double amps);

  boolean on() {
    return on;
  }

  double cableOhm() {
    return cableOhm;
  }

  double ratedA() {
    return ratedA;
  }

  double setV() {
    return setV;
  }

  double limitA() {
    return limitA;
  }
}
