package islet.bench.report;

import islet.contract.Mode;
import java.util.ArrayList;
import java.util.List;

/**
 * Where modes, arrows and numbers stand in the picture of the mode machine. Modes stand on a ring,
 * where no straight way between two of them leads over a third; arrows bend a little to their
 * right, so that there and back lie apart; each number goes where its arrow has the most room.
 */
final class ModeLayout {

  /** A point of the drawing. */
  record Point(double x, double y) {}

  /**
   * An arrow from one mode to another.
   *
   * @param way points from the border of one box to that of the other
   * @param numbers of the rows that it stands for
   */
  record Arrow(String from, String to, List<Point> way, String numbers) {}

  /** Numbers on an arrow, in a pill of height twice {@link #LABEL_RADIUS}. */
  record Label(Point at, double halfWidth, String numbers) {}

  static final double WIDTH = 1080;
  static final double HEIGHT = 850;
  static final double BOX_WIDTH = 184;
  static final double BOX_HEIGHT = 58;
  static final double LABEL_RADIUS = 13;

  /** Clockwise from the top: the way out along the right, the way back along the left. */
  static final List<Mode> RING =
      List.of(
          Mode.ISLANDING,
          Mode.ISLANDED,
          Mode.DARK,
          Mode.RECONNECTING,
          Mode.HELD,
          Mode.GRID_PRESENT,
          Mode.STARTING);

  private static final double CENTRE_X = WIDTH / 2;
  private static final double CENTRE_Y = 424;
  private static final double RADIUS_X = 400;
  private static final double RADIUS_Y = 300;
  private static final double BEND = 22;
  private static final double STUB = 130;
  private static final double DIGIT = 9;
  private static final int STEPS = 200;

  /** A number with this much room around it is as good as one with more. */
  private static final double ROOMY = 30;

  /** Numbers must not touch each other, whatever else. */
  private static final double TOUCHING = -1000;

  private static final double GAP = 4;

  private final List<Arrow> arrows = new ArrayList<>();
  private final List<Label> labels = new ArrayList<>();

  /** Lays out the rows; their names of modes are known to be right. */
  ModeLayout(List<ModeRow> rows) {
    for (ModeRow row : rows) {
      if (!drawn(row.from(), row.to())) {
        List<Point> way = way(row.from(), row.to());
        arrows.add(new Arrow(row.from(), row.to(), way, numbers(rows, row.from(), row.to())));
      }
    }
    for (Arrow arrow : arrows) {
      labels.add(place(arrow));
    }
  }

  List<Arrow> arrows() {
    return arrows;
  }

  List<Label> labels() {
    return labels;
  }

  /** The middle of a mode's box. */
  static Point centre(String mode) {
    double angle = 2 * Math.PI * RING.indexOf(Mode.valueOf(mode)) / RING.size() - Math.PI / 2;
    return new Point(
        CENTRE_X + RADIUS_X * StrictMath.cos(angle), CENTRE_Y + RADIUS_Y * StrictMath.sin(angle));
  }

  /** Distance of a point from a mode's box; 0 inside. */
  static double toBox(String mode, Point point) {
    Point centre = centre(mode);
    double dx = Math.max(0, Math.abs(point.x() - centre.x()) - BOX_WIDTH / 2);
    double dy = Math.max(0, Math.abs(point.y() - centre.y()) - BOX_HEIGHT / 2);
    return Math.sqrt(dx * dx + dy * dy);
  }

  private boolean drawn(String from, String to) {
    for (Arrow arrow : arrows) {
      if (arrow.from().equals(from) && arrow.to().equals(to)) {
        return true;
      }
    }
    return false;
  }

  private static String numbers(List<ModeRow> rows, String from, String to) {
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < rows.size(); i++) {
      if (rows.get(i).from().equals(from) && rows.get(i).to().equals(to)) {
        out.append(out.length() == 0 ? "" : ", ").append(i + 1);
      }
    }
    return out.toString();
  }

  private static List<Point> way(String from, String to) {
    Point end = centre(to);
    if (from.equals(ModeDiagram.ANY)) {
      return straightIn(end, to);
    }
    if (from.equals(to)) {
      double away = end.y() < CENTRE_Y ? -3 : 3;
      Point left = new Point(end.x() - BOX_WIDTH / 4, end.y());
      Point right = new Point(end.x() + BOX_WIDTH / 4, end.y());
      return curve(left, new Point(end.x(), end.y() + away * BOX_HEIGHT), right, from, to);
    }
    Point middle = centre(from);
    Point start = port(middle, end);
    Point target = port(end, middle);
    double dx = target.x() - start.x();
    double dy = target.y() - start.y();
    double bend = 2 * BEND / Math.sqrt(dx * dx + dy * dy);
    Point control =
        new Point(
            (start.x() + target.x()) / 2 - dy * bend, (start.y() + target.y()) / 2 + dx * bend);
    return curve(start, control, target, from, to);
  }

  /** Where an arrow leaves or enters: from the middle of a box a little toward its other end. */
  private static Point port(Point box, Point other) {
    double most = BOX_WIDTH * 0.3;
    double dx = (other.x() - box.x()) * 0.3;
    return new Point(box.x() + Math.max(-most, Math.min(most, dx)), box.y());
  }

  /** A short way in from outside the ring, level where there is room for it, else upright. */
  private static List<Point> straightIn(Point end, String to) {
    double side = end.x() > CENTRE_X + 1 ? 1 : -1;
    double border = end.x() + side * BOX_WIDTH / 2;
    double free = side > 0 ? WIDTH - border : border;
    double down = end.y() < CENTRE_Y ? -1 : 1;
    Point start =
        free > STUB + 60
            ? new Point(border + side * STUB, end.y())
            : new Point(end.x(), end.y() + down * (BOX_HEIGHT / 2 + STUB * 0.7));
    Point control = new Point((start.x() + end.x()) / 2, (start.y() + end.y()) / 2);
    return curve(start, control, end, to, to);
  }

  private static List<Point> curve(Point start, Point control, Point end, String from, String to) {
    List<Point> way = new ArrayList<>();
    for (int i = 0; i <= STEPS; i++) {
      double t = (double) i / STEPS;
      double a = (1 - t) * (1 - t);
      double b = 2 * t * (1 - t);
      double c = t * t;
      Point point =
          new Point(
              a * start.x() + b * control.x() + c * end.x(),
              a * start.y() + b * control.y() + c * end.y());
      if (toBox(from, point) > 2 && toBox(to, point) > 2) {
        way.add(point);
      }
    }
    return way;
  }

  /** The place on an arrow with the most room, of equally roomy ones the nearest to the middle. */
  private Label place(Arrow arrow) {
    double halfWidth = Math.max(LABEL_RADIUS, arrow.numbers().length() * DIGIT / 2 + 6);
    List<Point> way = arrow.way();
    Point best = way.get(way.size() / 2);
    double most = Double.NEGATIVE_INFINITY;
    for (int away = 0; away < way.size() * 2 / 5; away++) {
      for (int sign = -1; sign <= 1; sign += 2) {
        Point point = way.get(way.size() / 2 + sign * away);
        double room = room(arrow, point, halfWidth);
        if (room > most) {
          most = room;
          best = point;
        }
      }
    }
    return new Label(best, halfWidth, arrow.numbers());
  }

  private double room(Arrow own, Point at, double halfWidth) {
    double room = ROOMY;
    for (Label other : labels) {
      double dx = Math.abs(other.at().x() - at.x()) - other.halfWidth() - halfWidth;
      double dy = Math.abs(other.at().y() - at.y()) - 2 * LABEL_RADIUS;
      if (Math.max(dx, dy) < GAP) {
        return TOUCHING + Math.max(dx, dy);
      }
    }
    for (Mode mode : RING) {
      double gap = toBox(mode.name(), at) - halfWidth;
      if (gap < GAP) {
        return TOUCHING / 2 + gap;
      }
    }
    for (Arrow other : arrows) {
      if (!other.from().equals(own.from()) || !other.to().equals(own.to())) {
        for (int i = 0; i < other.way().size(); i += 2) {
          Point point = other.way().get(i);
          double dx = Math.max(0, Math.abs(point.x() - at.x()) - (halfWidth - LABEL_RADIUS));
          double dy = point.y() - at.y();
          room = Math.min(room, Math.sqrt(dx * dx + dy * dy) - LABEL_RADIUS);
        }
      }
    }
    return room;
  }
}
