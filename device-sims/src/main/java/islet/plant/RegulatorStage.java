package islet.plant;

/**
 * The charge regulator's power stage as the bus sees it: a voltage source with droop, limited by
 * current and by what the array can give.
 */
final class RegulatorStage {
  private final double ratedA;
  private final double droopOhm;
  private final double cableOhm;
  private final LossCurve losses;

  private boolean on;
  private double setV;
  private double limitA;
  private double outputLimitW;

  private double slope;

  RegulatorStage(RegulatorSpec spec, double nominalV) {
    this(
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        LossCurve.through(spec.ratedCurrentA() * nominalV, spec.efficiency(), spec.idleW()));
  }

  private RegulatorStage(double ratedA, double droopOhm, double cableOhm, LossCurve losses) {
    this.ratedA = ratedA;
    this.droopOhm = droopOhm;
    this.cableOhm = cableOhm;
    this.losses = losses;
  }

  /** A charger's power stage: the same characteristic, offered AC power instead of the array's. */
  static RegulatorStage of(ChargerSpec spec, double nominalV) {
    return new RegulatorStage(
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        LossCurve.through(spec.ratedCurrentA() * nominalV, spec.efficiency(), spec.idleW()));
  }

  /** No charger at all: it never gives a current. */
  static RegulatorStage none() {
    return new RegulatorStage(0, 1, 0, LossCurve.through(1, new Efficiency(0.9, 0.9, 0.9), 0));
  }

  /** Input that makes the largest output at a voltage, W. */
  double largestInputW(double nominalV) {
    double out = ratedA * nominalV;
    return out + losses.lossW(out);
  }

  void set(boolean switchedOn, double setV, double limitA) {
    this.on = switchedOn;
    this.setV = setV;
    this.limitA = Math.max(0, Math.min(limitA, ratedA));
  }

  void offer(double availableW) {
    outputLimitW = on ? losses.outputW(availableW) : 0;
  }

  /** Current into the bus at a bus voltage, A. */
  double currentA(double busV) {
    slope = 0;
    if (outputLimitW <= 0 || busV >= setV) {
      return 0;
    }
    double held = (setV - busV) / (droopOhm + cableOhm);
    double byPower = DcPower.given(outputLimitW, busV, cableOhm);
    if (held <= byPower && held <= limitA) {
      slope = -1 / (droopOhm + cableOhm);
      return held;
    }
    if (byPower <= limitA) {
      slope = DcPower.slopeGiven(byPower, busV, cableOhm);
      return byPower;
    }
    return limitA;
  }

  /** Slope of the last current asked for, A/V. */
  double slope() {
    return slope;
  }

  /** True when it is on and the array carries its own consumption. */
  boolean awake() {
    return outputLimitW > 0;
  }

  boolean on() {
    return on;
  }

  double idleW() {
    return losses.idleW();
  }

  double lossW(double outputW) {
    return losses.lossW(outputW);
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
