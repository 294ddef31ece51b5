package islet.plant;

/**
 * Several loads on one panel added up by their constant-impedance, constant-current and
 * constant-power shares, as functions of voltage in per unit.
 *
 * <p>Below 0.7 pu the current and power shares turn into impedances, continuous at 0.7: no load
 * holds its power down to zero volts (common practice in power flow programs).
 */
final class ZipLoad {
  static final double TURN_PU = 0.7;

  private double z;
  private double i;
  private double p;
  private double zVar;
  private double iVar;
  private double pVar;

  void clear() {
    z = 0;
    i = 0;
    p = 0;
    zVar = 0;
    iVar = 0;
    pVar = 0;
  }

  void add(CircuitSpec circuit, double watts, double tanPhi) {
    z += watts * circuit.zShare();
    i += watts * circuit.iShare();
    p += watts * circuit.pShare();
    zVar += watts * circuit.zShare() * tanPhi;
    iVar += watts * circuit.iShare() * tanPhi;
    pVar += watts * circuit.pShare() * tanPhi;
  }

  void sum(ZipLoad a, ZipLoad b) {
    z = a.z + b.z;
    i = a.i + b.i;
    p = a.p + b.p;
    zVar = a.zVar + b.zVar;
    iVar = a.iVar + b.iVar;
    pVar = a.pVar + b.pVar;
  }

  void addImpedance(double watts, double vars) {
    z += watts;
    zVar += vars;
  }

  double watts(double pu) {
    return at(z, i, p, pu);
  }

  double vars(double pu) {
    return at(zVar, iVar, pVar, pu);
  }

  /** Current, in VA at nominal voltage: apparent power over voltage. */
  double currentVa(double pu) {
    double w = watts(pu);
    double var = vars(pu);
    return pu > 0 ? Math.sqrt(w * w + var * var) / pu : 0;
  }

  /**
   * The highest voltage, pu, not above a ceiling, at which the loads draw no more than this current
   * from a source that limits it.
   *
   * <p>Above the turn the current is a convex function of voltage, so that its least value and what
   * lies above it can be searched by halving.
   *
   * @param mostVa current limit, in VA at nominal voltage
   */
  double voltageAtCurrent(double mostVa, double ceilingPu) {
    // Rounding must not pass for an overload.
    double most = mostVa * (1 + 1e-12);
    if (currentVa(ceilingPu) <= most) {
      return ceilingPu;
    }
    double turn = Math.min(TURN_PU, ceilingPu);
    double low = currentVa(turn) <= most ? turn : leastCurrentPu(turn, ceilingPu);
    if (currentVa(low) > most) {
      // Impedances only: current goes with voltage.
      return turn * Math.min(1, mostVa / currentVa(turn));
    }
    double high = ceilingPu;
    for (int n = 0; n < 60; n++) {
      double middle = 0.5 * (low + high);
      if (currentVa(middle) > most) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return low;
  }

  private double leastCurrentPu(double floorPu, double ceilingPu) {
    double low = floorPu;
    double high = ceilingPu;
    for (int n = 0; n < 80; n++) {
      double third = (high - low) / 3;
      if (currentVa(low + third) < currentVa(high - third)) {
        high -= third;
      } else {
        low += third;
      }
    }
    return 0.5 * (low + high);
  }

  static double at(double z, double i, double p, double pu) {
    return pu >= TURN_PU ? (z * pu + i) * pu + p : (z + softened(i, p)) * pu * pu;
  }

  private static double softened(double i, double p) {
    return (i * TURN_PU + p) / (TURN_PU * TURN_PU);
  }

  /**
   * The voltage, pu, at which the loads take this power, not above a ceiling; zero when there is
   * neither power nor load.
   */
  double voltageFor(double watts, double ceilingPu) {
    if (watts <= 0) {
      return 0;
    }
    if (watts >= watts(ceilingPu)) {
      return ceilingPu;
    }
    if (watts <= watts(TURN_PU)) {
      return Math.sqrt(watts / (z + softened(i, p)));
    }
    // z·u² + i·u = watts − p, with digits kept when z is small.
    double spare = watts - p;
    return 2 * spare / (i + Math.sqrt(i * i + 4 * z * spare));
  }
}
