package islet.plant;

/**
 * A pulse-width regulator's power stage: a switch between array and bus. While it is closed the
 * array works at the bus voltage plus the switch's drop, wherever that lies on its curve; to give
 * less the switch is open for a part of the time, and what counts here is the mean. So nothing is
 * converted, and what the array could give at its maximum power point and doesn't is curtailed.
 *
 * <p>Its own consumption comes from the bus, day and night (common practice for small regulators).
 */
final class PwmStage extends RegulatorStage {
  private static final int MOST_ITERATIONS = 30;

  private final PvArray array;
  private final double dropV;
  private final double idleW;

  private boolean lit;
  private double arraySlope;

  PwmStage(RegulatorSpec spec, PvArray array) {
    super(spec.ratedCurrentA(), spec.droopOhm(), spec.cableOhm());
    this.array = array;
    this.dropV = spec.dropV();
    this.idleW = spec.idleW();
  }

  @Override
  void offer(double availableW) {
    lit = availableW > 0;
  }

  /** The array's own current at the bus voltage, the switch's drop and the cable's added. */
  @Override
  double sourceA(double busV) {
    double amps = array.currentA(busV + dropV);
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      // Newton's method on what the cable's drop leaves over; the cable is short, so two rounds do.
      double over = array.currentA(busV + dropV + amps * cableOhm()) - amps;
      double step = over / (1 - cableOhm() * array.slope());
      amps += step;
      if (Math.abs(step) <= 1e-14 * (1 + amps)) {
        break;
      }
    }
    arraySlope = array.slope() / (1 - cableOhm() * array.slope());
    return Math.max(0, amps);
  }

  @Override
  double sourceSlope(double amps, double busV) {
    return arraySlope;
  }

  @Override
  boolean awake() {
    return on() && lit;
  }

  @Override
  double idleFromBusW() {
    return on() ? idleW : 0;
  }

  @Override
  double lossW(double outputW, double amps) {
    return dropV * amps;
  }
}
