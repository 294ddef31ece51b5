package islet.bench.report;

import islet.bench.IslandLife;
import islet.bench.reserve.ReserveCurve;
import islet.bench.reserve.ReservePoint;
import java.util.List;

/**
 * Bill to the right, hours survived upwards: one line through the reserves for the median outage,
 * one for the fifth percentile, one for the worst. Lines differ by dash and weight and are named at
 * their end; what nobody saw the end of lies on the upper edge as an open mark.
 */
final class CurvePicture {

  private static final double TOP = 44;
  private static final double BOTTOM = 420;
  private static final double HEIGHT = 500;
  private static final double HOUR = 3.6e9;

  /** Bills closer together than this are told apart by the axis all the same. */
  private static final double LEAST_SPAN = 0.02;

  /** Two labels closer than this would stand on each other. */
  private static final double LABEL_WIDTH = 30;

  private static final double LABEL_HEIGHT = 14;

  private record Line(String name, String look, double dark) {}

  private static final List<Line> LINES =
      List.of(
          new Line("median", "l0", 0.5),
          new Line("5th percentile", "l2", 0.05),
          new Line("worst", "l3", 1e-9));

  private final ReserveCurve curve;
  private final Svg svg;
  private final Scale hours;
  private final double least;
  private final double most;

  private CurvePicture(StringBuilder out, ReserveCurve curve) {
    this.curve = curve;
    svg = new Svg(out);
    double low = Double.MAX_VALUE;
    double high = -Double.MAX_VALUE;
    double longest = curve.outageMicros() / HOUR;
    for (ReservePoint point : curve.points()) {
      low = Math.min(low, point.bill());
      high = Math.max(high, point.bill());
      for (Line line : LINES) {
        longest = Math.max(longest, hours(point, line.dark()));
      }
    }
    double edge = Math.max(LEAST_SPAN, high - low) * 0.12;
    least = low - edge;
    most = high + edge;
    hours = Scale.covering(0, longest, TOP, BOTTOM);
  }

  static void draw(StringBuilder out, ReserveCurve curve) {
    new CurvePicture(out, curve).draw();
  }

  private void draw() {
    svg.open(Look.WIDTH, HEIGHT, "Hours survived against the bill, for each reserve");
    svg.text("small", Look.LEFT, TOP - 22, "hours until the emergency panel is dark");
    for (double tick : hours.ticks()) {
      double y = hours.y(tick);
      svg.line("grid", Look.LEFT, y, Look.RIGHT, y);
      svg.text("small end", Look.LEFT - 8, y + 5, Num.tick(tick, hours.step()));
    }
    double step = Scale.round((most - least) / 6);
    for (double i = Math.ceil(least / step); i * step <= most; i++) {
      double x = x(i * step);
      svg.line("axis", x, BOTTOM, x, BOTTOM + 6);
      svg.text("small middle", x, BOTTOM + 24, Num.tick(i * step, step));
    }
    svg.line("axis", Look.LEFT, BOTTOM, Look.RIGHT, BOTTOM);
    String axis = "bill of the span, " + curve.points().get(0).currency();
    svg.text("small middle", Look.LEFT + Look.PLOT / 2, BOTTOM + 54, axis);
    double asked = hours.y(curve.outageMicros() / HOUR);
    svg.line("l5", Look.LEFT, asked, Look.RIGHT, asked);
    EndLabels labels = new EndLabels();
    labels.add(asked, "l5", Num.fixed(curve.outageMicros() / HOUR, 1) + " h asked for");
    for (Line line : LINES) {
      labels.add(line(line), line.look(), line.name());
    }
    labels.draw(svg, TOP, BOTTOM);
    reserves();
    svg.close();
  }

  /** Draws a line and says how high its right end is. */
  private double line(Line line) {
    PathData path = new PathData();
    ReservePoint right = curve.points().get(0);
    for (int i = 0; i < curve.points().size(); i++) {
      ReservePoint point = curve.points().get(i);
      right = point.bill() > right.bill() ? point : right;
      double y = hours.y(hours(point, line.dark()));
      if (i == 0) {
        path.move(x(point.bill()), y);
      } else {
        path.line(x(point.bill()), y);
      }
    }
    svg.path(line.look(), path.toString());
    for (ReservePoint point : curve.points()) {
      boolean seen = point.survival().quantileMicros(line.dark()) < Long.MAX_VALUE;
      svg.circle(seen ? "dot" : "box", x(point.bill()), hours.y(hours(point, line.dark())), 5);
    }
    return hours.y(hours(right, line.dark()));
  }

  /** Each reserve stands above its highest mark; those whose marks fall together share a label. */
  private void reserves() {
    String names = "";
    for (int i = 0; i < curve.points().size(); i++) {
      ReservePoint point = curve.points().get(i);
      names += (names.isEmpty() ? "" : ", ") + point.reserve();
      boolean shared = i + 1 < curve.points().size() && near(point, curve.points().get(i + 1));
      if (!shared) {
        double y = Math.max(TOP - 2, medianY(point) - 12);
        svg.text("strong middle halo", x(point.bill()), y, names);
        names = "";
      }
    }
  }

  private boolean near(ReservePoint one, ReservePoint other) {
    return Math.abs(x(one.bill()) - x(other.bill())) < LABEL_WIDTH
        && Math.abs(medianY(one) - medianY(other)) < LABEL_HEIGHT;
  }

  private double medianY(ReservePoint point) {
    return hours.y(hours(point, LINES.get(0).dark()));
  }

  private double x(double bill) {
    return Look.LEFT + (bill - least) / (most - least) * Look.PLOT;
  }

  private static double hours(ReservePoint point, double dark) {
    long micros = point.survival().quantileMicros(dark);
    long watched = Math.min(IslandLife.LONGEST, point.survival().watchedMicros());
    return (micros == Long.MAX_VALUE ? watched : micros) / HOUR;
  }
}
