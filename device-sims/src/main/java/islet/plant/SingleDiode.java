package islet.plant;

/**
 * The single-diode equation of a module: {@code I = Iph − I0·(exp((V + I·Rs)/nVt) − 1) − (V +
 * I·Rs)/Rp}.
 *
 * @param photoA photo current Iph, A
 * @param saturationA diode saturation current I0, A
 * @param seriesOhm Rs, Ω
 * @param shuntOhm Rp, Ω
 * @param thermalV nVt: ideality times cells times thermal voltage, V
 */
public record SingleDiode(
    double photoA, double saturationA, double seriesOhm, double shuntOhm, double thermalV) {

  /**
   * Current at a terminal voltage, explicit by Lambert's W (Jain and Kapoor, Solar Energy Materials
   * and Solar Cells 81, 2004).
   *
   * @param volts from below zero to beyond open circuit
   * @return A, negative beyond open circuit
   */
  public double currentA(double volts) {
    double sum = seriesOhm + shuntOhm;
    double scale = shuntOhm / (thermalV * sum);
    double logTheta =
        StrictMath.log(seriesOhm * saturationA * scale)
            + scale * (seriesOhm * (photoA + saturationA) + volts);
    return (shuntOhm * (photoA + saturationA) - volts) / sum
        - thermalV / seriesOhm * LambertW.ofExp(logTheta);
  }

  /**
   * Terminal voltage at a current, explicit by Lambert's W in the same way; far below zero beyond
   * the photo current, where only the shunt is left to carry it.
   *
   * @param amps any
   */
  public double voltageV(double amps) {
    return junctionV(amps) - amps * seriesOhm;
  }

  /** Junction voltage at a terminal current, V: what {@link #currentAtJunction} inverts. */
  double junctionV(double amps) {
    double whole = photoA + saturationA - amps;
    double w =
        LambertW.ofExp(
            StrictMath.log(saturationA * shuntOhm / thermalV) + whole * shuntOhm / thermalV);
    return whole * shuntOhm - thermalV * w;
  }

  /** Slope of {@link #voltageV} against the current, Ω; negative. */
  double slopeAtCurrent(double amps) {
    return 1 / slopeAtJunction(junctionV(amps)) - seriesOhm;
  }

  /**
   * Slope of {@link #currentA} where the current at this voltage is known, A/V; negative.
   *
   * @param volts at the terminals
   * @param amps the current there
   */
  double slopeAtVoltage(double volts, double amps) {
    double slope = slopeAtJunction(volts + amps * seriesOhm);
    return slope / (1 - slope * seriesOhm);
  }

  /** What the implicit equation leaves over at a point, A; zero on the curve. */
  public double residualA(double volts, double amps) {
    return currentAtJunction(volts + amps * seriesOhm) - amps;
  }

  /** Terminal current against the voltage of the inner junction, explicit in any case. */
  double currentAtJunction(double junctionV) {
    return photoA - saturationA * StrictMath.expm1(junctionV / thermalV) - junctionV / shuntOhm;
  }

  /** Slope of {@link #currentAtJunction}, A/V; negative. */
  double slopeAtJunction(double junctionV) {
    return -saturationA / thermalV * StrictMath.exp(junctionV / thermalV) - 1 / shuntOhm;
  }

  /** Open-circuit voltage, V. */
  public double openCircuitV() {
    if (photoA <= 0) {
      return 0;
    }
    // Convex and decreasing beyond the start from above, so Newton's steps come down monotonically.
    double v = thermalV * StrictMath.log1p(photoA / saturationA);
    for (int i = 0; i < 60; i++) {
      double step = currentAtJunction(v) / slopeAtJunction(v);
      v -= step;
      if (Math.abs(step) <= 1e-13 * v) {
        break;
      }
    }
    return v;
  }

  /**
   * Junction voltage at maximum power, V; zero in the dark. Found as the zero of dP/dVj between
   * short circuit and open circuit by Newton's method kept inside its bracket.
   */
  public double junctionAtMaximumPowerV() {
    double high = openCircuitV();
    if (high <= 0) {
      return 0;
    }
    double low = 0;
    double j = 0.85 * high;
    for (int i = 0; i < 100; i++) {
      double e = saturationA / thermalV * StrictMath.exp(j / thermalV);
      double amps = currentAtJunction(j);
      double slope = -e - 1 / shuntOhm;
      double bend = -e / thermalV;
      double volts = j - amps * seriesOhm;
      double voltsSlope = 1 - seriesOhm * slope;
      double gain = slope * volts + amps * voltsSlope;
      if (gain > 0) {
        low = j;
      } else {
        high = j;
      }
      double gainSlope = bend * volts + 2 * slope * voltsSlope - amps * seriesOhm * bend;
      double next = j - gain / gainSlope;
      if (!(next > low && next < high)) {
        next = 0.5 * (low + high);
      }
      if (Math.abs(next - j) <= 1e-12 * next) {
        return next;
      }
      j = next;
    }
    return j;
  }

  /** Power at a junction voltage, W. */
  public double powerAtJunctionW(double junctionV) {
    double amps = currentAtJunction(junctionV);
    return amps * (junctionV - amps * seriesOhm);
  }

  /** Terminal voltage at a junction voltage, V. */
  public double terminalV(double junctionV) {
    return junctionV - currentAtJunction(junctionV) * seriesOhm;
  }

  /** Largest power, W. */
  public double maximumPowerW() {
    return powerAtJunctionW(junctionAtMaximumPowerV());
  }

  /**
   * Where on the falling side of the power curve, between maximum power and open circuit, the
   * module gives this power: the regulator's way of taking less.
   *
   * @param watts zero or above; at or above the maximum, the maximum power point is the answer
   * @return junction voltage, V
   */
  public double junctionForPowerV(double watts) {
    double low = junctionAtMaximumPowerV();
    double high = openCircuitV();
    if (watts >= powerAtJunctionW(low)) {
      return low;
    }
    for (int i = 0; i < 200 && high - low > 1e-12 * high; i++) {
      double middle = 0.5 * (low + high);
      if (powerAtJunctionW(middle) > watts) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }
}
