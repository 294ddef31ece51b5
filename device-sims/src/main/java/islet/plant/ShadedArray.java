package islet.plant;

/**
 * Strings in parallel, some of which have groups of cells in shade, each group with a bypass diode.
 *
 * <p>In a string one current flows and the groups' voltages add; a group that can't carry the
 * current is bypassed and costs a diode's forward voltage. Strings add their currents at one
 * voltage. No current flows back into a string (common practice: a blocking diode or, with few
 * strings, too little to matter).
 *
 * <p>A string's current falls with its voltage, and the curve is concave as long as the shaded
 * groups are bypassed, again while they conduct, and again once the string gives nothing, since it
 * is made of concave curves there. So there are at most three local maxima of power, one in each
 * range, and each is the zero of dP/dV, which falls within its range.
 *
 * <p>Filled anew and asked without allocation. Works in the shaded string's current, of which its
 * voltage is an explicit function.
 */
final class ShadedArray {
  /** Forward voltage of a bypass diode, V: a Schottky diode's, common practice, held constant. */
  static final double BYPASS_V = 0.5;

  private static final int HALVINGS = 45;
  private static final SingleDiode DARK = new SingleDiode(0, 1e-9, 0.2, 400, 1.8);

  /** Where on the curve the largest power lies. */
  private enum Range {
    BYPASSED,
    CONDUCTING,
    OTHERS
  }

  private final int series;
  private final int perModule;

  private SingleDiode lit = DARK;
  private SingleDiode dim = DARK;
  private int shadedStrings;
  private int otherStrings;
  private double litModules;
  private double dimModules;

  private double bypassA;
  private double bypassV;
  private double openV;

  private double maximumW;
  private double maximumV;
  private Range range = Range.CONDUCTING;
  private double peakA;
  private double conductingA;

  private double slope;

  /**
   * For strings of one length.
   *
   * @param series modules in a string
   * @param perModule bypass diodes of a module
   */
  ShadedArray(int series, int perModule) {
    this.series = series;
    this.perModule = perModule;
  }

  /**
   * Takes the light of an instant.
   *
   * @param inLight curve of a module in full light
   * @param inShade curve of a module in shade, with no more photo current
   * @param shade how much is in shade
   * @param parallel all strings
   */
  void set(SingleDiode inLight, SingleDiode inShade, ShadeSpec shade, int parallel) {
    lit = inLight;
    dim = inShade;
    shadedStrings = shade.strings();
    otherStrings = parallel - shade.strings();
    dimModules = shade.modules() * shade.substrings() / (double) perModule;
    litModules = series - dimModules;
    // Beyond the light's own short-circuit current no string goes.
    bypassA = Math.min(dim.currentA(-BYPASS_V * perModule), lit.photoA());
    bypassV = Math.max(0, stringV(bypassA));
    openV = Math.max(0, stringV(0));
    findMaximum();
  }

  /** A shaded string's voltage at its current, V. */
  private double stringV(double amps) {
    double shaded = Math.max(dim.voltageV(amps), -BYPASS_V * perModule);
    return (litModules > 0 ? litModules * lit.voltageV(amps) : 0) + dimModules * shaded;
  }

  /** Slope of {@link #stringV}, Ω; negative. */
  private double stringSlope(double amps) {
    double conducting = amps < bypassA ? dimModules * dim.slopeAtCurrent(amps) : 0;
    return (litModules > 0 ? litModules * lit.slopeAtCurrent(amps) : 0) + conducting;
  }

  private double othersA(double volts) {
    return otherStrings * lit.currentA(volts / series);
  }

  private double othersSlope(double volts, double amps) {
    return otherStrings == 0
        ? 0
        : otherStrings / (double) series * lit.slopeAtVoltage(volts / series, amps / otherStrings);
  }

  /** Power of the whole array where a shaded string has this current, W. */
  private double powerW(double amps) {
    double volts = stringV(amps);
    return volts * (shadedStrings * amps + othersA(volts));
  }

  /** dP/dV of the whole array where a shaded string has this current, A. */
  private double gain(double amps) {
    double volts = stringV(amps);
    double others = othersA(volts);
    double steep = shadedStrings / stringSlope(amps) + othersSlope(volts, others);
    return shadedStrings * amps + others + volts * steep;
  }

  /** The string's current at the one local maximum between two currents. */
  private double peakA(double least, double most) {
    double low = least;
    double high = most;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = 0.5 * (low + high);
      // A larger current is a smaller voltage; there power still rises with voltage.
      if (gain(middle) > 0) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return 0.5 * (low + high);
  }

  private void findMaximum() {
    peakA = peakA(0, bypassA);
    conductingA = peakA;
    range = Range.CONDUCTING;
    maximumW = Math.max(0, powerW(peakA));
    maximumV = Math.max(0, stringV(peakA));
    if (otherStrings > 0) {
      double junction = lit.junctionAtMaximumPowerV();
      double volts = series * lit.terminalV(junction);
      double watts = otherStrings * series * lit.powerAtJunctionW(junction);
      if (volts >= openV && watts > maximumW) {
        range = Range.OTHERS;
        maximumW = watts;
        maximumV = volts;
      }
    }
    if (litModules > 0 && bypassA < lit.photoA()) {
      double amps = peakA(bypassA, lit.photoA());
      double watts = powerW(amps);
      if (watts > maximumW) {
        range = Range.BYPASSED;
        peakA = amps;
        maximumW = watts;
        maximumV = stringV(amps);
      }
    }
  }

  /** The largest power of all, W. */
  double maximumPowerW() {
    return maximumW;
  }

  /** The voltage there, V. */
  double maximumPowerV() {
    return maximumV;
  }

  /**
   * Current at a voltage; {@link #slope} then speaks of it.
   *
   * @param volts zero or above
   * @return A
   */
  double currentA(double volts) {
    double others = othersA(volts);
    slope = othersSlope(volts, others);
    if (volts >= openV) {
      return others;
    }
    double low = volts >= bypassV ? 0 : bypassA;
    double high = volts >= bypassV ? bypassA : lit.photoA();
    double amps = 0.5 * (low + high);
    for (int i = 0; i < 100; i++) {
      double over = stringV(amps) - volts;
      if (over > 0) {
        low = amps;
      } else {
        high = amps;
      }
      double next = amps - over / stringSlope(amps);
      if (!(next > low && next < high)) {
        next = 0.5 * (low + high);
      }
      double step = Math.abs(next - amps);
      amps = next;
      if (step <= 1e-14 * lit.photoA()) {
        break;
      }
    }
    slope += shadedStrings / stringSlope(amps);
    return others + shadedStrings * amps;
  }

  /** Slope of the last current asked for, A/V; negative. */
  double slope() {
    return slope;
  }

  /**
   * The first voltage above that of the largest power at which the array gives less: a regulator's
   * way of taking less.
   *
   * @param watts zero or above; at or above the largest power, its own voltage is the answer
   */
  double voltageForPowerV(double watts) {
    if (watts >= maximumW) {
      return maximumV;
    }
    if (range == Range.BYPASSED && watts >= powerW(bypassA)) {
      return stringV(fallingA(bypassA, peakA, watts));
    }
    if (range != Range.OTHERS && watts >= powerW(0)) {
      return stringV(fallingA(0, conductingA, watts));
    }
    double each = watts / (otherStrings * series);
    return series * lit.terminalV(lit.junctionForPowerV(each));
  }

  /** The string's current between two at which power, falling with it, has come down to this. */
  private double fallingA(double least, double most, double watts) {
    double low = least;
    double high = most;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = 0.5 * (low + high);
      if (powerW(middle) > watts) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return 0.5 * (low + high);
  }
}
