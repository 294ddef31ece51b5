package islet.plant;

/**
 * The service drop between the utility's source (or its dead line with the neighbours' load) and
 * the main panel. Volts, watts and vars; power counts toward the site.
 */
final class Service {
  private static final int MOST_ITERATIONS = 80;

  /** Below this a source is taken as a bolted short, pu. */
  private static final double NO_VOLTAGE_PU = 1e-6;

  private static final LineLoad NOBODY = LineLoad.resistive(0);

  private final UtilitySpec spec;
  private final double r;
  private final double x;
  private LineLoad line;
  private double lineSiemens2;
  private double lineOhm;
  private double throughOhm;
  private double throughReactanceOhm;

  private double panelV;
  private double panelW;
  private double panelVar;
  private double sourceW;
  private double sourceVar;
  private double lossW;
  private double lineV;
  private double lineLoadW;

  Service(UtilitySpec spec) {
    this.spec = spec;
    this.r = spec.serviceOhm();
    this.x = spec.serviceReactanceOhm();
    this.line = LineLoad.resistive(spec.lineLoadW());
  }

  /** Hangs another load onto the line; the specification's stands there at the start. */
  void setLine(LineLoad load) {
    line = load;
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
    if (sourcePu < NO_VOLTAGE_PU) {
      // A bolted short: neither the loads nor the impedance see anything.
      settle(0, 0, 0);
      sourceW = 0;
      sourceVar = 0;
      lossW = 0;
      lineLoadW = 0;
      lineV = source;
      return;
    }
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
    sourceVar = panelVar + x * (panelW * panelW + panelVar * panelVar) / (v * v);
    lineV = source;
    lineLoadW = 0;
  }

  private void settle(double v, double watts, double var) {
    panelV = v;
    panelW = watts;
    panelVar = var;
  }

  /**
   * Adds what a site sees that feeds an open line, the neighbours behind the service, to its loads.
   *
   * @param hertzPu the site's frequency over the nominal one
   */
  void addLineTo(ZipLoad loads, double hertzPu) {
    if (line.equals(NOBODY)) {
      return;
    }
    behind(hertzPu);
    add(loads);
  }

  /** Adds what a site sees that feeds a short at the source's end of the service. */
  void addShortTo(ZipLoad loads) {
    throughOhm = r;
    throughReactanceOhm = x;
    add(loads);
  }

  private void add(ZipLoad loads) {
    double square = spec.nominalV() * spec.nominalV() / throughSquare();
    loads.addImpedance(throughOhm * square, throughReactanceOhm * square);
  }

  /** Service and line load in series, as the panel sees them at a frequency. */
  private void behind(double hertzPu) {
    double nominal = spec.nominalV() * spec.nominalV();
    double g = line.watts() / nominal;
    double b = (line.capacitiveVar() * hertzPu - line.inductiveVar() / hertzPu) / nominal;
    lineSiemens2 = g * g + b * b;
    lineOhm = g / lineSiemens2;
    throughOhm = lineOhm + r;
    throughReactanceOhm = x * hertzPu - b / lineSiemens2;
  }

  private double throughSquare() {
    return throughOhm * throughOhm + throughReactanceOhm * throughReactanceOhm;
  }

  /** Source open: the site's own voltage, zero or not, stands on the line. */
  void fromSite(double sitePu, double hertzPu) {
    double v = sitePu * spec.nominalV();
    sourceW = 0;
    sourceVar = 0;
    if (line.equals(NOBODY)) {
      settle(v, 0, 0);
      lineV = v;
      lossW = 0;
      lineLoadW = 0;
      return;
    }
    behind(hertzPu);
    double amperes2 = v * v / throughSquare();
    settle(v, -amperes2 * throughOhm, -amperes2 * throughReactanceOhm);
    lossW = amperes2 * r;
    lineLoadW = amperes2 * lineOhm;
    lineV = Math.sqrt(amperes2 / lineSiemens2);
  }

  /** The site feeds a short at the source's end of the service. */
  void fromSiteIntoShort(double sitePu) {
    double v = sitePu * spec.nominalV();
    double amperes2 = v * v / (r * r + x * x);
    settle(v, -amperes2 * r, -amperes2 * x);
    lossW = amperes2 * r;
    sourceW = 0;
    sourceVar = 0;
    lineLoadW = 0;
    lineV = 0;
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

  /** Reactive power from the source toward the site, var. */
  double sourceVar() {
    return sourceVar;
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
