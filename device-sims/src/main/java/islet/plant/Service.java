package islet.plant;

/**
 * The service drop between the utility's source (or its dead line with the neighbours' load) and
 * the main panel. Volts, watts and vars; power counts toward the site.
 */
final class Service {
  private static final int MOST_ITERATIONS = 80;

  private final UtilitySpec spec;
  private final double r;
  private final double x;
  private final double lineOhm;

  private double panelV;
  private double panelW;
  private double panelVar;
  private double sourceW;
  private double lossW;
  private double lineV;
  private double lineLoadW;

  Service(UtilitySpec spec) {
    this.spec = spec;
    this.r = spec.serviceOhm();
    this.x = spec.serviceReactanceOhm();
    this.lineOhm =
        spec.lineLoadW() > 0
            ? spec.nominalV() * spec.nominalV() / spec.lineLoadW()
            : Double.POSITIVE_INFINITY;
  }

  /**
   * Live source: finds the panel's voltage as the upper solution of the two-node power flow.
   *
   * @param sourcePu source voltage, pu
   * @param loads what hangs on the panel
   * @param injectedW active power fed into the panel by the inverter, W
   */
  void fromSource(double sourcePu, ZipLoad loads, double injectedW) {
    double source = sourcePu * spec.nominalV();
    double v = Math.min(source, panelV > 0.5 * source ? panelV : source);
    double last = Double.POSITIVE_INFINITY;
    for (int i = 0; i < MOST_ITERATIONS; i++) {
      double next = upperSolution(source, loads, injectedW, v);
      double change = Math.abs(next - v);
      v = next;
      if (change <= 2e-15 * source || (change >= last && change <= 1e-12 * source)) {
        if (Math.abs(excess(source, loads, injectedW, v)) <= 1e-11 * source) {
          book(source, loads, injectedW, v);
          return;
        }
        break;
      }
      last = change;
    }
    v = bisected(source, loads, injectedW);
    book(source, loads, injectedW, v);
  }

  private double upperSolution(double source, ZipLoad loads, double injectedW, double v) {
    double pu = v / spec.nominalV();
    double p = loads.watts(pu) - injectedW;
    double q = loads.vars(pu);
    double b = source * source - 2 * (r * p + x * q);
    double c = (r * r + x * x) * (p * p + q * q);
    double root = Math.sqrt(Math.max(0, b * b - 4 * c));
    return Math.sqrt(Math.max(1e-6 * source * source, 0.5 * (b + root)));
  }

  /**
   * The most active power a converter on the panel may move over the service, W: half of what the
   * impedance can carry at all, less what the loads take. A real one is current-limited and backs
   * off; beyond this there would soon be no operating point.
   */
  double transferableW(double sourcePu, ZipLoad loads) {
    double source = sourcePu * spec.nominalV();
    double carried = source * source / (2 * (Math.sqrt(r * r + x * x) + r));
    return Math.max(0, 0.5 * carried - loads.watts(sourcePu));
  }

  /** The source voltage that a panel voltage would need, less the one there is. */
  private double excess(double source, ZipLoad loads, double injectedW, double v) {
    double pu = v / spec.nominalV();
    double p = loads.watts(pu) - injectedW;
    double q = loads.vars(pu);
    double along = v + (r * p + x * q) / v;
    double across = (x * p - r * q) / v;
    return Math.sqrt(along * along + across * across) - source;
  }

  private double bisected(double source, ZipLoad loads, double injectedW) {
    double high = 2 * source;
    double low = high;
    for (int i = 0; i < 400 && excess(source, loads, injectedW, low) > 0; i++) {
      high = low;
      low = high - 0.005 * source;
    }
    if (!(excess(source, loads, injectedW, low) <= 0)) {
      throw new SolverException(
          "The service found no voltage for the main panel: source "
              + source
              + " V behind "
              + r
              + " + j"
              + x
              + " Ω, loads at nominal voltage "
              + loads.watts(1)
              + " W and "
              + loads.vars(1)
              + " var, fed in "
              + injectedW
              + " W.");
    }
    for (int i = 0; i < 100; i++) {
      double middle = 0.5 * (low + high);
      if (excess(source, loads, injectedW, middle) > 0) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return low;
  }

  private void book(double source, ZipLoad loads, double injectedW, double v) {
    double pu = v / spec.nominalV();
    panelV = v;
    panelW = loads.watts(pu) - injectedW;
    panelVar = loads.vars(pu);
    lossW = r * (panelW * panelW + panelVar * panelVar) / (v * v);
    // The source's power from the two voltages and the angle between them, not from the panel's.
    double sine = (x * panelW - r * panelVar) / (v * source);
    double cosine = Math.sqrt(Math.max(0, 1 - sine * sine));
    sourceW = source * (r * (source - v * cosine) + x * v * sine) / (r * r + x * x);
    lineV = source;
    lineLoadW = 0;
  }

  /** Adds the neighbours' load behind the service, an impedance, to loads fed by the site. */
  void addLineTo(ZipLoad loads) {
    if (lineOhm == Double.POSITIVE_INFINITY) {
      return;
    }
    double nominal = spec.nominalV() * spec.nominalV();
    double z2 = (lineOhm + r) * (lineOhm + r) + x * x;
    loads.addImpedance(nominal * (lineOhm + r) / z2, nominal * x / z2);
  }

  /** Source open: the site's own voltage, zero or not, stands on the line. */
  void fromSite(double sitePu) {
    double v = sitePu * spec.nominalV();
    panelV = v;
    sourceW = 0;
    if (lineOhm == Double.POSITIVE_INFINITY) {
      lineV = v;
      panelW = 0;
      panelVar = 0;
      lossW = 0;
      lineLoadW = 0;
      return;
    }
    double z2 = (lineOhm + r) * (lineOhm + r) + x * x;
    panelW = -v * v * (lineOhm + r) / z2;
    panelVar = -v * v * x / z2;
    lossW = v * v * r / z2;
    lineLoadW = v * v * lineOhm / z2;
    lineV = v * lineOhm / Math.sqrt(z2);
  }

  double panelV() {
    return panelV;
  }

  double panelW() {
    return panelW;
  }

  double panelVar() {
    return panelVar;
  }

  double sourceW() {
    return sourceW;
  }

  double lossW() {
    return lossW;
  }

  double lineV() {
    return lineV;
  }

  double lineLoadW() {
    return lineLoadW;
  }
}
