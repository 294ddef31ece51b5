package islet.plant;

/**
 * Charge in two wells, one at hand and one bound, that even out through a valve: the kinetic
 * battery model of Manwell and McGowan, Solar Energy 50, 1993, in closed form for a constant
 * current.
 *
 * <p>With {@code q} the whole charge and {@code y = q1 − c·q} how far the available well stands off
 * balance, the model's two equations part: {@code dq/dt = i} and {@code dy/dt = (1 − c)·i − k·y}.
 * That is the paper's closed form in other letters, and loses no digits over short steps.
 */
final class KineticBattery {
  private final double c;
  private final double ratePerS;
  private double fullC;
  private double q;
  private double y;

  private double lastSeconds = -1;
  private double lastDecay;

  private double changeQ1;
  private double changeQ2;

  /**
   * Full or partly full, and rested.
   *
   * @param c share of the available well
   * @param ratePerS rate constant of the evening out, 1/s
   * @param fullC charge in both wells when full, C
   * @param soc state of charge, 0 to 1
   */
  KineticBattery(double c, double ratePerS, double fullC, double soc) {
    this.c = c;
    this.ratePerS = ratePerS;
    this.fullC = fullC;
    this.q = soc * fullC;
    this.y = 0;
  }

  /** Share of the imbalance that decays in this time. */
  private double decay(double seconds) {
    if (seconds != lastSeconds) {
      lastSeconds = seconds;
      lastDecay = -StrictMath.expm1(-ratePerS * seconds);
    }
    return lastDecay;
  }

  /** Holds a current into the available well for a while; the changes of the wells are kept. */
  void advance(double amps, double seconds) {
    double dq = amps * seconds;
    double dy = imbalanceGrowth(amps, seconds);
    changeQ1 = c * dq + dy;
    changeQ2 = (1 - c) * dq - dy;
    q += dq;
    y += dy;
  }

  /** Takes a share of both wells away, with what they hold. */
  void shrink(double share) {
    q -= share * q;
    y -= share * y;
    fullC -= share * fullC;
  }

  private double imbalanceGrowth(double amps, double seconds) {
    return (amps * (1 - c) / ratePerS - y) * decay(seconds);
  }

  /** Head of the available well some time after now under a held current; 1 is full. */
  double availableHead(double amps, double seconds) {
    return head1(q + amps * seconds, y + imbalanceGrowth(amps, seconds));
  }

  /** How fast {@link #availableHead} moves with the current, 1/A. */
  double availableHeadSlope(double seconds) {
    return (seconds + (1 - c) / ratePerS * decay(seconds) / c) / fullC;
  }

  /** Head of the bound well some time after now under a held current. */
  double boundHead(double amps, double seconds) {
    return head2(q + amps * seconds, y + imbalanceGrowth(amps, seconds));
  }

  /** Current from the available to the bound well some time after now, A. */
  double exchangeA(double amps, double seconds) {
    return ratePerS * (y + imbalanceGrowth(amps, seconds));
  }

  private double head1(double charge, double imbalance) {
    return (charge + imbalance / c) / fullC;
  }

  private double head2(double charge, double imbalance) {
    return (charge - imbalance / (1 - c)) / fullC;
  }

  double availableHead() {
    return head1(q, y);
  }

  double boundHead() {
    return head2(q, y);
  }

  double soc() {
    return q / fullC;
  }

  double fullC() {
    return fullC;
  }

  /** Charge of the available well when full, C. */
  double availableFullC() {
    return c * fullC;
  }

  /** Charge of the bound well when full, C. */
  double boundFullC() {
    return (1 - c) * fullC;
  }

  /** Charge in the available well, C. */
  double availableC() {
    return c * q + y;
  }

  /** Charge in the bound well, C. */
  double boundC() {
    return (1 - c) * q - y;
  }

  /** Change of the available well in the last step, C. */
  double changeOfAvailableC() {
    return changeQ1;
  }

  /** Change of the bound well in the last step, C. */
  double changeOfBoundC() {
    return changeQ2;
  }
}
