package islet.bench.report;

import islet.contract.Mode;
import java.util.List;

/**
 * The mode machine as a picture and as a table in Markdown, both from the same rows: the numbers on
 * the arrows are the numbers of the table's rows.
 */
public final class ModeDiagram {

  /** As a row's {@code from}: every mode but the one that is entered. */
  public static final String ANY = "ANY";

  private static final double TIP = 14;

  private ModeDiagram() {}

  /**
   * The picture as a file of its own, UTF-8 SVG.
   *
   * @throws IllegalArgumentException when a row names a mode that there is not
   */
  public static String svg(List<ModeRow> rows) {
    for (int i = 0; i < rows.size(); i++) {
      check(rows.get(i).from(), i + 1, true);
      check(rows.get(i).to(), i + 1, false);
    }
    ModeLayout layout = new ModeLayout(rows);
    StringBuilder out = new StringBuilder();
    Svg svg = new Svg(out);
    svg.openAlone(
        ModeLayout.WIDTH, ModeLayout.HEIGHT, "The supervisor's modes and the ways between them");
    for (ModeLayout.Arrow arrow : layout.arrows()) {
      arrow(svg, arrow);
    }
    for (Mode mode : ModeLayout.RING) {
      box(svg, mode);
    }
    for (ModeLayout.Label label : layout.labels()) {
      number(svg, label);
    }
    svg.text(
        "small middle",
        ModeLayout.WIDTH / 2,
        ModeLayout.HEIGHT - 14,
        "Numbers on the arrows are rows of the table.");
    svg.close();
    return out.toString();
  }

  /** The table in Markdown, numbered as the picture is; ends with a line feed. */
  public static String markdown(List<ModeRow> rows) {
    StringBuilder out = new StringBuilder();
    out.append("| no. | from | on | guard | to | actions | worst time |\n");
    out.append("| ---: | --- | --- | --- | --- | --- | --- |\n");
    for (int i = 0; i < rows.size(); i++) {
      ModeRow row = rows.get(i);
      out.append("| ").append(i + 1).append(" |");
      cell(out, row.from().equals(ANY) ? "any mode" : "`" + row.from() + "`");
      cell(out, row.on());
      cell(out, row.guard());
      cell(out, "`" + row.to() + "`");
      cell(out, row.actions());
      cell(out, row.worstTime());
      out.append('\n');
    }
    return out.toString();
  }

  private static void cell(StringBuilder out, String text) {
    String shown = text.isBlank() ? Num.NONE : text.strip();
    out.append(' ').append(shown.replace("\n", " ").replace("|", "\\|")).append(" |");
  }

  private static void check(String name, int row, boolean anyAllowed) {
    for (Mode mode : ModeLayout.RING) {
      if (mode.name().equals(name)) {
        return;
      }
    }
    if (!anyAllowed || !name.equals(ANY)) {
      throw new IllegalArgumentException(
          "Row "
              + row
              + " of the mode table names the mode \""
              + name
              + "\"; allowed are "
              + ModeLayout.RING
              + (anyAllowed ? " and " + ANY : "")
              + ". Correct the row, or give the new mode a place in the picture.");
    }
  }

  private static void arrow(Svg svg, ModeLayout.Arrow arrow) {
    List<ModeLayout.Point> way = arrow.way();
    ModeLayout.Point start = way.get(0);
    ModeLayout.Point end = way.get(way.size() - 1);
    PathData path = new PathData().move(start.x(), start.y());
    for (int i = 6; i < way.size() - 4; i += 6) {
      path.line(way.get(i).x(), way.get(i).y());
    }
    svg.path("wire", path.line(end.x(), end.y()).toString());
    ModeLayout.Point before = way.get(Math.max(0, way.size() - 7));
    double dx = end.x() - before.x();
    double dy = end.y() - before.y();
    double scale = TIP / Math.max(1e-9, Math.sqrt(dx * dx + dy * dy));
    dx *= scale;
    dy *= scale;
    PathData tip =
        new PathData()
            .move(end.x(), end.y())
            .line(end.x() - dx - dy * 0.4, end.y() - dy + dx * 0.4)
            .line(end.x() - dx + dy * 0.4, end.y() - dy - dx * 0.4)
            .close();
    svg.path("tip", tip.toString());
    if (arrow.from().equals(ANY)) {
      any(svg, start, end);
    }
  }

  private static void any(Svg svg, ModeLayout.Point start, ModeLayout.Point end) {
    if (Math.abs(start.y() - end.y()) > 1) {
      svg.text("small middle", start.x(), start.y() + (start.y() > end.y() ? 20 : -10), "any mode");
    } else if (start.x() < end.x()) {
      svg.text("small end", start.x() - 8, start.y() + 5, "any mode");
    } else {
      svg.text("small", start.x() + 8, start.y() + 5, "any mode");
    }
  }

  private static void box(Svg svg, Mode mode) {
    ModeLayout.Point centre = ModeLayout.centre(mode.name());
    double left = centre.x() - ModeLayout.BOX_WIDTH / 2;
    double top = centre.y() - ModeLayout.BOX_HEIGHT / 2;
    svg.rounded(Words.ground(mode), left, top, ModeLayout.BOX_WIDTH, ModeLayout.BOX_HEIGHT, 8);
    svg.rounded("wire", left, top, ModeLayout.BOX_WIDTH, ModeLayout.BOX_HEIGHT, 8);
    String look = mode == Mode.DARK ? "inverse middle strong" : "halo middle strong";
    svg.text(look, centre.x(), centre.y() + 5.5, mode.name());
  }

  private static void number(Svg svg, ModeLayout.Label label) {
    double radius = ModeLayout.LABEL_RADIUS;
    double x = label.at().x();
    double y = label.at().y();
    svg.rounded(
        "box", x - label.halfWidth(), y - radius, 2 * label.halfWidth(), 2 * radius, radius);
    svg.text("middle strong", x, y + 5.5, label.numbers());
  }
}
