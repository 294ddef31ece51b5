package islet.bench.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Names at the lines' ends, each beside a short piece of its line, moved apart where they would
 * cover each other. A name that had to move keeps a thin lead to its line.
 */
final class EndLabels {

  private record Label(double y, String look, String text) {}

  private static final double GAP = 19;
  private static final double LEAD = 14;
  private static final double SAMPLE = 26;

  private final List<Label> labels = new ArrayList<>();

  void add(double y, String look, String text) {
    labels.add(new Label(y, look, text));
  }

  void draw(Svg svg, double top, double bottom) {
    List<Label> sorted = new ArrayList<>(labels);
    sorted.sort(Comparator.comparingDouble(Label::y));
    double[] places = new double[sorted.size()];
    for (int i = 0; i < places.length; i++) {
      double wanted = Math.max(sorted.get(i).y(), top);
      places[i] = i == 0 ? wanted : Math.max(wanted, places[i - 1] + GAP);
    }
    double limit = bottom;
    for (int i = places.length - 1; i >= 0; i--) {
      places[i] = Math.min(places[i], limit);
      limit = places[i] - GAP;
    }
    for (int i = 0; i < places.length; i++) {
      Label label = sorted.get(i);
      svg.line("edge", Look.RIGHT + 1, label.y(), Look.RIGHT + LEAD, places[i]);
      svg.line(label.look(), Look.RIGHT + LEAD, places[i], Look.RIGHT + LEAD + SAMPLE, places[i]);
      svg.text("", Look.RIGHT + LEAD + SAMPLE + 6, places[i] + 5.5, label.text());
    }
  }
}
