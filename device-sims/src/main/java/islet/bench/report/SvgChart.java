package islet.bench.report;

import islet.bench.Trace;
import java.util.ArrayList;
import java.util.List;

/**
 * One chart of quantities over time. Lines differ by dash and weight and are named at their end.
 */
final class SvgChart {

  private record Line(String name, String look, Quantity quantity, boolean area) {}

  private record Limit(String name, double value) {}

  /** An upright mark with a short text above the plot. */
  record Mark(long micros, String text, boolean alert) {}

  private static final double TOP = 38;
  private static final double BELOW = 46;

  private final Trace trace;
  private final TimeAxis axis;
  private final String unit;
  private final double height;
  private final List<Line> lines = new ArrayList<>();
  private final List<Limit> limits = new ArrayList<>();
  private double low = Double.POSITIVE_INFINITY;
  private double high = Double.NEGATIVE_INFINITY;
  private List<long[]> away = List.of();
  private List<Mark> marks = List.of();

  /**
   * A chart without lines.
   *
   * @param height of the plot, in units of the drawing
   */
  SvgChart(Trace trace, TimeAxis axis, String unit, double height) {
    this.trace = trace;
    this.axis = axis;
    this.unit = unit;
    this.height = height;
  }

  /** Adds a line; {@code look} is one of the line styles of {@link Look}. */
  SvgChart line(String name, String look, Quantity quantity) {
    lines.add(new Line(name, look, quantity, false));
    return this;
  }

  /** Adds a line with the area down to zero filled. */
  SvgChart area(String name, String look, Quantity quantity) {
    lines.add(new Line(name, look, quantity, true));
    return this;
  }

  /** Adds a level that is a setting or a limit. */
  SvgChart limit(String name, double value) {
    limits.add(new Limit(name, value));
    return showing(value, value);
  }

  /** Makes the axis hold at least these values. */
  SvgChart showing(double least, double greatest) {
    low = Math.min(low, least);
    high = Math.max(high, greatest);
    return this;
  }

  /** Spans of time to be shaded, each from and to in microseconds. */
  SvgChart shading(List<long[]> spans) {
    away = spans;
    return this;
  }

  SvgChart marks(List<Mark> marks) {
    this.marks = marks;
    return this;
  }

  /** Draws the chart; {@code label} says in words what it shows. */
  void draw(StringBuilder out, String label) {
    Scale scale = scale();
    double bottom = scale.bottom();
    Svg svg = new Svg(out).open(Look.WIDTH, bottom + BELOW, label);
    for (long[] span : away) {
      double x = axis.x(span[0]);
      svg.rect("away", x, TOP, Math.max(1, axis.x(span[1]) - x), height);
    }
    axis.draw(svg, TOP, bottom);
    for (double value : scale.ticks()) {
      double y = scale.y(value);
      svg.line(value == 0 ? "axis" : "grid", Look.LEFT, y, Look.RIGHT, y);
      svg.text("end", Look.LEFT - 8, y + 5.5, Num.tick(value, scale.step()));
    }
    svg.text("small end", Look.LEFT - 8, TOP - 14, unit);
    svg.line("axis", Look.LEFT, bottom, Look.RIGHT, bottom);
    EndLabels labels = new EndLabels();
    for (Line line : lines) {
      if (line.area()) {
        String fill = line.look().equals("l0") ? "f-light" : "f-rise";
        svg.path(fill, StepPath.area(trace, line.quantity(), axis, scale));
      }
    }
    for (Limit limit : limits) {
      double y = scale.y(limit.value());
      svg.line("l5", Look.LEFT, y, Look.RIGHT, y);
      labels.add(y, "l5", limit.name());
    }
    for (Line line : lines) {
      svg.path(line.look(), StepPath.of(trace, line.quantity(), axis, scale));
      double end = lastValue(line.quantity());
      if (!Double.isNaN(end)) {
        labels.add(Math.max(TOP, Math.min(bottom, scale.y(end))), line.look(), line.name());
      }
    }
    marks(svg, axis, marks, TOP, bottom);
    labels.draw(svg, TOP, bottom);
    svg.close();
  }

  /** Draws upright marks, their texts above {@code top} in as many rows as there is room for. */
  static void marks(Svg svg, TimeAxis axis, List<Mark> marks, double top, double bottom) {
    double[] free = {Look.LEFT, Look.LEFT};
    for (Mark mark : marks) {
      double x = axis.x(mark.micros());
      svg.line(mark.alert() ? "alert" : "axis", x, top, x, bottom);
      double half = Look.textWidth(mark.text(), 14) / 2;
      for (int row = 0; row < free.length; row++) {
        if (x - half >= free[row]) {
          String look = mark.alert() ? "alert-text middle" : "small middle";
          svg.text(look, x, top - 8 - row * 15, mark.text());
          free[row] = x + half + 5;
          break;
        }
      }
    }
  }

  private Scale scale() {
    double least = low;
    double greatest = high;
    int begin = Math.max(0, StepPath.rowAt(trace, axis.from()));
    for (Line line : lines) {
      for (int row = begin; row < trace.rows() && trace.micros(row) <= axis.to(); row++) {
        double value = line.quantity().at(trace, row);
        if (value < least) {
          least = value;
        }
        if (value > greatest) {
          greatest = value;
        }
      }
    }
    if (!(least <= greatest)) {
      least = 0;
      greatest = 1;
    }
    return Scale.covering(least, greatest, TOP, TOP + height);
  }

  private double lastValue(Quantity quantity) {
    for (int row = StepPath.rowAt(trace, axis.to()); row >= 0; row--) {
      double value = quantity.at(trace, row);
      if (!Double.isNaN(value)) {
        return value;
      }
    }
    return Double.NaN;
  }
}
