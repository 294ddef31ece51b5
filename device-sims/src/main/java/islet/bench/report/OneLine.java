package islet.bench.report;

import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * The one-line diagram of a site in its arrangement, with symbols in the manner of IEC 60617 and
 * IEEE 315: one line stands for all conductors of a circuit.
 */
public final class OneLine {

  private static final double WIDTH = Look.WIDTH;
  private static final double FEED = 96;
  private static final double FIRST_CIRCUIT = 158;
  private static final double PITCH = 38;
  private static final double MAIN = 330;

  /** For the name of a circuit and its load, beside each other. */
  private static final double ROOM = 330;

  private static final double EMERGENCY = 690;

  /** Where the inverter's way begins when it ends at a changeover switch. */
  private static final double OTHER_SIDE = 560;

  /** How far below the utility's side the inverter's side of a changeover switch lies. */
  private static final double SIDES = 44;

  private final Site site;
  private final Site.Arrangement arrangement;
  private final Svg svg;

  private OneLine(Site site, StringBuilder out) {
    this.site = site;
    this.arrangement = site.arrangement();
    this.svg = new Svg(out);
  }

  /** The diagram as a file of its own, UTF-8 SVG. */
  public static String svg(Site site) {
    StringBuilder out = new StringBuilder();
    OneLine line = new OneLine(site, out);
    line.svg.openAlone(WIDTH, line.height(), label(site));
    line.drawing();
    line.svg.close();
    return out.toString();
  }

  /** Draws the diagram into a page that brings the looks. */
  static void draw(StringBuilder out, Site site) {
    OneLine line = new OneLine(site, out);
    line.svg.open(WIDTH, line.height(), label(site));
    line.drawing();
    line.svg.close();
  }

  private static String label(Site site) {
    List<String> parts = new ArrayList<>();
    Site.Arrangement arrangement = site.arrangement();
    if (arrangement.hasUtility()) {
      parts.addAll(List.of("utility", "service"));
    }
    if (arrangement == Site.Arrangement.TWO_PANEL) {
      parts.add("main panel");
    }
    if (arrangement.hasTie()) {
      parts.add("tie switch");
    }
    if (arrangement.hasChangeover()) {
      parts.add("changeover switch");
    }
    parts.add(arrangement == Site.Arrangement.TWO_PANEL ? "emergency panel" : "load panel");
    parts.add(arrangement.hasTie() ? "inverter and charger" : "inverter");
    if (arrangement.hasCharger()) {
      parts.add("charger");
    }
    parts.addAll(List.of("DC bus", "battery", "charge regulator", "PV array"));
    return "One-line diagram of " + site.name() + ": " + String.join(", ", parts);
  }

  /** Where the emergency panel ends and the way to the inverter begins. */
  private double panelEnd() {
    return FIRST_CIRCUIT + Math.max(1, circuits(Site.Panel.CRITICAL).size()) * PITCH;
  }

  private double height() {
    double main = FIRST_CIRCUIT + circuits(Site.Panel.NONCRITICAL).size() * PITCH;
    return Math.max(panelEnd() + 400, main + 20);
  }

  private List<Site.Circuit> circuits(Site.Panel panel) {
    List<Site.Circuit> circuits = new ArrayList<>();
    for (Site.Circuit circuit : site.circuits()) {
      if (circuit.panel() == panel) {
        circuits.add(circuit);
      }
    }
    return circuits;
  }

  private void drawing() {
    double end = panelEnd();
    double bus = end + 214;
    boolean two = arrangement == Site.Arrangement.TWO_PANEL;
    if (arrangement.hasUtility()) {
      utility();
    }
    if (two) {
      panel(MAIN, "Main panel", "non-critical loads", circuits(Site.Panel.NONCRITICAL));
    }
    if (arrangement.hasTie()) {
      tie();
    }
    if (arrangement.hasChangeover()) {
      changeover();
    }
    panel(
        EMERGENCY,
        two ? "Emergency panel" : "Load panel",
        two ? "critical loads" : "all loads",
        circuits(Site.Panel.CRITICAL));
    if (arrangement.hasChangeover()) {
      inverter(OTHER_SIDE, FEED + SIDES, end);
    } else {
      inverter(EMERGENCY, end - 8, end);
    }
    site.charger().ifPresent(charger -> charger(charger, end));
    svg.line("bar", arrangement.hasCharger() ? MAIN - 60 : 400, bus, 1000, bus);
    svg.text("strong", 400, bus - 14, "DC bus");
    battery(480, bus);
    array(830, bus);
  }

  private void utility() {
    double x = 52;
    svg.circle("box", x, FEED, 26);
    sine(x, FEED, 14);
    svg.text("strong middle", x, FEED - 40, "Utility");
    svg.text("small middle", x, FEED + 48, Num.significant(site.utility().nominalV()) + " V");
    svg.text("small middle", x, FEED + 66, Num.significant(site.utility().nominalHz()) + " Hz");
    svg.line("wire", x + 26, FEED, 118, FEED);
    disconnector(118, 166);
    svg.text("small middle", 142, FEED + 28, "Service");
    svg.text("small middle", 142, FEED + 46, "disconnect");
    svg.line("wire", 166, FEED, 214, FEED);
    svg.rect("box", 214, FEED - 24, 56, 48);
    svg.line("wire", 214, FEED - 10, 270, FEED - 10);
    svg.text("middle", 242, FEED + 12, "kWh");
    svg.text("small middle", 242, FEED + 46, "Meter");
    svg.line("wire", 270, FEED, MAIN, FEED);
    if (arrangement == Site.Arrangement.TWO_PANEL || arrangement.hasCharger()) {
      svg.circle("dot", MAIN, FEED, 4.5);
    }
  }

  /** Disconnector: a blade, and a short bar across the fixed contact. */
  private void disconnector(double left, double right) {
    svg.line("wire", right, FEED - 8, right, FEED + 8);
    svg.line("wire", left, FEED, right - 6, FEED - 22);
  }

  private void tie() {
    double left = EMERGENCY - 158;
    double right = EMERGENCY - 104;
    svg.line("wire", MAIN, FEED, left, FEED);
    svg.line("wire", right, FEED, EMERGENCY, FEED);
    svg.line("wire", left, FEED, right - 4, FEED - 24);
    // A contactor's contact: a half circle at the fixed side.
    svg.path("wire", new PathData().move(right, FEED - 7).arc(7, true, right, FEED + 7).toString());
    svg.circle("dot", EMERGENCY, FEED, 4.5);
    double middle = (left + right) / 2;
    svg.text("strong middle", middle, FEED - 40, "Tie switch");
    site.tie()
        .map(t -> "operates in " + Num.duration(t.operateS()))
        .ifPresent(operates -> svg.text("small middle", middle, FEED + 28, operates));
  }

  /** Two fixed contacts and one blade, which stands on the utility's side. */
  private void changeover() {
    double left = OTHER_SIDE;
    double right = EMERGENCY - 64;
    double pivot = FEED + SIDES / 2;
    svg.line("wire", MAIN, FEED, left, FEED);
    svg.line("wire", left, FEED, left + 8, FEED);
    svg.circle("dot", left + 8, FEED, 3.5);
    svg.line("wire", left, FEED + SIDES, left + 8, FEED + SIDES);
    svg.circle("dot", left + 8, FEED + SIDES, 3.5);
    svg.line("wire", right, pivot, left + 10, FEED + 1);
    svg.circle("dot", right, pivot, 4.5);
    svg.line("wire", right, pivot, EMERGENCY, pivot);
    svg.circle("dot", EMERGENCY, pivot, 4.5);
    svg.text("strong middle", left - 40, FEED - 36, "Changeover switch");
    site.changeover()
        .map(
            c ->
                (c.manual() ? "by hand, " : "automatic, ")
                    + Num.duration(c.deadS())
                    + " between its sides")
        .ifPresent(words -> svg.text("small middle", left - 40, FEED - 16, words));
  }

  private void charger(Site.Charger charger, double end) {
    double top = end + 44;
    svg.line("wire", MAIN, FEED, MAIN, top);
    converter(MAIN - 32, top, true, false);
    svg.line("wire", MAIN, top + 64, MAIN, end + 214);
    svg.circle("dot", MAIN, end + 214, 4.5);
    tipDown(MAIN, end + 196);
    svg.text("strong", MAIN + 46, top + 18, "Charger");
    svg.text("small", MAIN + 46, top + 38, "up to " + Num.significant(charger.ratedA()) + " A");
  }

  private void panel(double x, String name, String what, List<Site.Circuit> circuits) {
    svg.line("bar", x, FEED - 22, x, FIRST_CIRCUIT + Math.max(1, circuits.size()) * PITCH - 8);
    svg.text("strong", x - 4, FEED - 58, name);
    svg.text("small", x - 4, FEED - 38, what);
    for (int i = 0; i < circuits.size(); i++) {
      Site.Circuit circuit = circuits.get(i);
      double y = FIRST_CIRCUIT + i * PITCH;
      svg.line("wire", x, y, x + 34, y);
      PathData tip = new PathData().move(x + 34, y - 6).line(x + 46, y).line(x + 34, y + 6).close();
      svg.path("tip", tip.toString());
      String load = load(circuit.load());
      double width = Look.textWidth(circuit.name(), 16) + Look.textWidth(load, 14);
      if (width < ROOM) {
        svg.pair(x + 54, y + 5.5, circuit.name(), load);
      } else {
        svg.text("", x + 54, y - 1, circuit.name());
        svg.text("small", x + 54, y + 15, load);
      }
    }
  }

  private static String load(Site.Load load) {
    if (load instanceof Site.ConstantLoad constant) {
      return Num.significant(constant.powerW()) + " W";
    }
    if (load instanceof Site.DailyLoad daily) {
      return Num.significant(daily.powerW()) + " W at set times";
    }
    if (load instanceof Site.CyclingLoad cycling) {
      return Num.significant(cycling.powerW()) + " W, cycling";
    }
    return "hourly profile";
  }

  private void inverter(double x, double from, double end) {
    boolean charges = arrangement.hasTie();
    double top = end + 44;
    svg.line("wire", x, from, x, top);
    converter(x - 32, top, true, false);
    svg.line("wire", x, top + 64, x, end + 214);
    svg.circle("dot", x, end + 214, 4.5);
    tipUp(x, end + 10);
    if (charges) {
      tipDown(x, end + 196); // power flows both ways
    }
    Site.Inverter inverter = site.inverter();
    svg.text("strong", x + 46, top + 18, charges ? "Inverter and charger" : "Inverter");
    svg.text(
        "small",
        x + 46,
        top + 38,
        kilo(inverter.ratedW())
            + ", "
            + kilo(inverter.surgeW())
            + " for "
            + Num.duration(inverter.surgeS()));
    if (charges) {
      svg.text(
          "small",
          x + 46,
          top + 56,
          "charges up to " + Num.significant(inverter.ratedChargeA()) + " A");
    }
    if (arrangement == Site.Arrangement.INVERTER_CHARGER) {
      svg.text("small", x + 46, top + 74, "never feeds while connected");
    }
  }

  /** A converter: a box halved by a diagonal, each half with the kind of its current. */
  private void converter(double x, double y, boolean acAbove, boolean acBelow) {
    svg.rect("box", x, y, 64, 64);
    svg.line("wire", x, y + 64, x + 64, y);
    kind(x + 20, y + 18, acAbove);
    kind(x + 45, y + 47, acBelow);
  }

  private void kind(double x, double y, boolean ac) {
    if (ac) {
      sine(x, y, 11);
    } else {
      svg.line("wire", x - 9, y - 4, x + 9, y - 4);
      for (int i = 0; i < 3; i++) {
        svg.line("wire", x - 9 + i * 7.5, y + 4, x - 6 + i * 7.5, y + 4);
      }
    }
  }

  private void sine(double x, double y, double half) {
    PathData wave =
        new PathData()
            .move(x - half, y)
            .curve(x - half / 2, y - half * 1.3, x, y)
            .curve(x + half / 2, y + half * 1.3, x + half, y);
    svg.path("wire", wave.toString());
  }

  private void battery(double x, double bus) {
    svg.circle("dot", x, bus, 4.5);
    svg.line("wire", x, bus, x, bus + 56);
    for (int cell = 0; cell < 3; cell++) {
      double y = bus + 56 + cell * 18;
      svg.line("wire", x - 26, y, x + 26, y);
      svg.line("bar", x - 12, y + 9, x + 12, y + 9);
    }
    svg.text("", x - 42, bus + 60, "+");
    svg.text("", x - 42, bus + 108, "−");
    svg.line("wire", x, bus + 104, x, bus + 126);
    // Common return of the DC side.
    svg.line("wire", x - 12, bus + 126, x + 12, bus + 126);
    Site.Battery battery = site.battery();
    svg.text("strong", x + 46, bus + 62, "Battery");
    svg.text(
        "small",
        x + 46,
        bus + 82,
        Num.significant(battery.nominalV())
            + " V, "
            + Num.significant(battery.capacity20hAh())
            + " Ah in 20 h");
    svg.text(
        "small",
        x + 46,
        bus + 100,
        chemistry(battery) + ", " + battery.cells() + " cells in series");
  }

  private static String chemistry(Site.Battery battery) {
    return switch (battery.chemistry()) {
      case LEAD_ACID -> Words.of(battery.chemistry()).toLowerCase(Locale.ROOT);
      case LFP -> "LFP";
    };
  }

  private void array(double x, double bus) {
    svg.circle("dot", x, bus, 4.5);
    svg.line("wire", x, bus, x, bus + 28);
    tipUp(x, bus + 8);
    converter(x - 32, bus + 28, false, false);
    svg.text("strong", x + 46, bus + 54, "Charge regulator");
    svg.text(
        "small",
        x + 46,
        bus + 74,
        switch (site.regulator().kind()) {
              case MPPT -> "tracks the array, ";
              case PWM -> "ties the array to the bus, ";
            }
            + Num.significant(site.regulator().ratedA())
            + " A");
    svg.line("wire", x, bus + 92, x, bus + 122);
    double top = bus + 122;
    svg.rect("box", x - 50, top, 100, 44);
    // A cell that is shone upon: its two plates, and light coming in.
    svg.line("wire", x - 34, top + 28, x + 6, top + 28);
    svg.line("bar", x - 22, top + 35, x - 6, top + 35);
    light(x + 6, top + 8);
    light(x + 22, top + 8);
    Site.Pv pv = site.pv();
    double peak = pv.module().impA() * pv.module().vmpV() * pv.series() * pv.parallel();
    svg.text("strong", x + 64, top + 18, "PV array " + kilo(peak));
    svg.text("small", x + 64, top + 38, pv.series() + " in series, " + pv.parallel() + " strings");
  }

  private void light(double x, double y) {
    svg.line("hair", x + 12, y, x, y + 12);
    PathData tip =
        new PathData().move(x - 2, y + 14).line(x + 1, y + 6).line(x + 6, y + 11).close();
    svg.path("tip", tip.toString());
  }

  private void tipUp(double x, double y) {
    svg.path(
        "tip",
        new PathData().move(x - 6, y + 11).line(x, y).line(x + 6, y + 11).close().toString());
  }

  private void tipDown(double x, double y) {
    svg.path(
        "tip",
        new PathData().move(x - 6, y - 11).line(x, y).line(x + 6, y - 11).close().toString());
  }

  private static String kilo(double watts) {
    double tenths = Math.round(watts / 100) / 10.0;
    return watts >= 1000 ? Num.significant(tenths) + " kW" : Num.significant(watts) + " W";
  }
}
