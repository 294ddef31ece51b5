package islet.bench.report;

import islet.bench.VoltageExcursion;
import java.util.ArrayList;
import java.util.List;

/**
 * Every excursion of the emergency panel against the voltage tolerance envelope: 0 % for 20 ms, 70
 * % for 0.5 s, 80 % for 10 s, 90 % steady; 120 % for 0.5 s, 110 % steady (ITI (CBEMA) curve
 * application note, 2000; from memory). Voltages are RMS, so the part of the curve below half a
 * cycle is left out. Whether a point lies inside is the bench's judgement and only drawn here.
 */
final class IticPlot {

  private static final double TOP = 30;
  private static final double BOTTOM = 410;
  private static final double SHORTEST = 1e-3;

  /** Points nearer than this share a mark. */
  private static final double NEAR = 15;

  /** Seconds and per unit, from left to right. */
  private static final double[][] LOWER = {{0.02, 0.7}, {0.5, 0.8}, {10, 0.9}};

  private static final double[][] UPPER = {{0.5, 1.1}};
  private static final double UPPER_START = 1.2;

  private record Spot(double x, double y, boolean inside, List<Integer> numbers) {}

  private final Scale scale;
  private final int decades;

  private IticPlot(List<VoltageExcursion> excursions) {
    double highest = 1.4;
    double longest = 100;
    for (VoltageExcursion e : excursions) {
      if (e.voltagePu() < 3) {
        highest = Math.max(highest, e.voltagePu() + 0.05);
      }
      longest = Math.max(longest, Math.min(1e5, e.durationS()));
    }
    scale = new Scale(0, Math.ceil(highest * 5 - 1e-9) / 5, 0.2, TOP, BOTTOM);
    decades = (int) Math.ceil(StrictMath.log10(longest / SHORTEST) - 1e-9);
  }

  /** Draws the plot; excursions are numbered as they stand in the list, from 1. */
  static void draw(StringBuilder out, List<VoltageExcursion> excursions) {
    new IticPlot(excursions).draw(new Svg(out), excursions);
  }

  private double x(double seconds) {
    double decade = StrictMath.log10(Math.max(SHORTEST, Math.min(1e9, seconds)) / SHORTEST);
    return Look.LEFT + Look.PLOT * Math.min(1, decade / decades);
  }

  private double y(double voltage) {
    return scale.y(Math.max(scale.low(), Math.min(scale.high(), voltage)));
  }

  private void draw(Svg svg, List<VoltageExcursion> excursions) {
    svg.open(
        Look.WIDTH,
        BOTTOM + 62,
        "Voltage against duration of every excursion, with the tolerance envelope");
    svg.path("f-rise faint", lower(new PathData()).line(Look.RIGHT, BOTTOM).close().toString());
    svg.path(
        "f-rise faint",
        upper(new PathData()).line(Look.RIGHT, TOP).across(Look.LEFT).close().toString());
    grid(svg);
    svg.path("l0", lower(new PathData()).toString());
    svg.path("l0", upper(new PathData()).toString());
    svg.text("halo strong", x(0.0014), y(1.0) + 5, "Equipment keeps working");
    svg.text("halo middle", x(3), y(0.28), "Too low for too long: it may drop out");
    svg.text("halo middle", x(3), y(1.28), "Too high: it may be damaged");
    svg.text("", Look.RIGHT + 10, y(0.9) + 5, "90 %");
    svg.text("", Look.RIGHT + 10, y(1.1) + 5, "110 %");
    for (Spot spot : spots(excursions)) {
      mark(svg, spot);
    }
    svg.close();
  }

  private PathData lower(PathData path) {
    path.move(x(LOWER[0][0]), BOTTOM);
    for (double[] step : LOWER) {
      path.across(x(step[0])).down(y(step[1]));
    }
    return path.across(Look.RIGHT);
  }

  private PathData upper(PathData path) {
    path.move(Look.LEFT, y(UPPER_START));
    for (double[] step : UPPER) {
      path.across(x(step[0])).down(y(step[1]));
    }
    return path.across(Look.RIGHT);
  }

  private void grid(Svg svg) {
    String[] names = {
      "1 ms", "10 ms", "100 ms", "1 s", "10 s", "100 s", "1000 s", "10⁴ s", "10⁵ s"
    };
    for (int decade = 0; decade <= decades; decade++) {
      double x = Look.LEFT + Look.PLOT * decade / decades;
      svg.line("grid", x, TOP, x, BOTTOM);
      svg.line("axis", x, BOTTOM, x, BOTTOM + 6);
      svg.text("middle", x, BOTTOM + 24, names[decade]);
    }
    for (double value : scale.ticks()) {
      double y = scale.y(value);
      svg.line("grid", Look.LEFT, y, Look.RIGHT, y);
      svg.text("end", Look.LEFT - 8, y + 5.5, Num.tick(value, 0.2));
    }
    svg.line("axis", Look.LEFT, BOTTOM, Look.RIGHT, BOTTOM);
    svg.text("small end", Look.LEFT - 8, TOP - 14, "pu");
    svg.text("small middle", (Look.LEFT + Look.RIGHT) / 2, BOTTOM + 48, "lasting");
  }

  private List<Spot> spots(List<VoltageExcursion> excursions) {
    List<Spot> spots = new ArrayList<>();
    for (int i = 0; i < excursions.size(); i++) {
      VoltageExcursion e = excursions.get(i);
      double x = x(e.durationS());
      double y = y(e.voltagePu());
      Spot home = null;
      for (Spot spot : spots) {
        if (spot.inside() == e.insideItic()
            && Math.abs(spot.x() - x) < NEAR
            && Math.abs(spot.y() - y) < NEAR) {
          home = spot;
          break;
        }
      }
      if (home == null) {
        home = new Spot(x, y, e.insideItic(), new ArrayList<>());
        spots.add(home);
      }
      home.numbers().add(i + 1);
    }
    return spots;
  }

  private static void mark(Svg svg, Spot spot) {
    String label = label(spot.numbers());
    boolean right = spot.x() + Look.textWidth(label, 16) + 60 < Look.WIDTH;
    double side = right ? 13 : -13;
    String anchor = right ? "" : " end";
    if (spot.inside()) {
      svg.circle("box", spot.x(), spot.y(), 7);
      svg.text("halo strong" + anchor, spot.x() + side, spot.y() - 7, label);
    } else {
      PathData diamond = new PathData().move(spot.x() - 10, spot.y()).line(spot.x(), spot.y() - 10);
      diamond.line(spot.x() + 10, spot.y()).line(spot.x(), spot.y() + 10).close();
      svg.path("alert-fill", diamond.toString());
      svg.text("halo alert-text" + anchor, spot.x() + side, spot.y() - 7, label + " outside");
    }
  }

  /** The numbers of a mark; of more than three only the first and how many there are. */
  private static String label(List<Integer> numbers) {
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < Math.min(3, numbers.size()); i++) {
      out.append(i == 0 ? "" : ", ").append(numbers.get(i));
    }
    if (numbers.size() > 3) {
      out.append(" and ").append(numbers.size() - 3).append(" more");
    }
    return out.toString();
  }
}
