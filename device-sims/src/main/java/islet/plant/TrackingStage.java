package islet.plant;

/**
 * A power stage that converts: whatever voltage its source works best at, all its power less the
 * losses reaches the bus. A tracking regulator's, and a charger's on AC power.
 */
final class TrackingStage extends RegulatorStage {
  private final LossCurve losses;

  private double outputLimitW;

  private TrackingStage(double ratedA, double droopOhm, double cableOhm, LossCurve losses) {
    super(ratedA, droopOhm, cableOhm);
    this.losses = losses;
  }

  static TrackingStage of(RegulatorSpec spec, double nominalV) {
    Efficiency efficiency = spec.efficiency().orElseThrow();
    return new TrackingStage(
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        LossCurve.through(spec.ratedCurrentA() * nominalV, efficiency, spec.idleW()));
  }

  /** A charger's power stage: the same characteristic, offered AC power instead of the array's. */
  static TrackingStage of(ChargerSpec spec, double nominalV) {
    return new TrackingStage(
        spec.ratedCurrentA(),
        spec.droopOhm(),
        spec.cableOhm(),
        LossCurve.through(spec.ratedCurrentA() * nominalV, spec.efficiency(), spec.idleW()));
  }

  /** No charger at all: it never gives a current. */
  static TrackingStage none() {
    return new TrackingStage(0, 1, 0, LossCurve.through(1, new Efficiency(0.9, 0.9, 0.9), 0));
  }

  /** Input that makes the largest output at a voltage, W. */
  double largestInputW(double nominalV) {
    double out = ratedA() * nominalV;
    return out + losses.lossW(out);
  }

  @Override
  void offer(double availableW) {
    outputLimitW = on() ? losses.outputW(availableW) : 0;
  }

  @Override
  double sourceA(double busV) {
    return DcPower.given(outputLimitW, busV, cableOhm());
  }

  @Override
  double sourceSlope(double amps, double busV) {
    return DcPower.slopeGiven(amps, busV, cableOhm());
  }

  /** True when it is on and the array carries its own consumption. */
  @Override
  boolean awake() {
    return outputLimitW > 0;
  }

  /** The array carries it by day, the bus by night. */
  @Override
  double idleFromBusW() {
    return on() && !awake() ? losses.idleW() : 0;
  }

  @Override
  double lossW(double outputW, double amps) {
    return losses.lossW(outputW);
  }
}
