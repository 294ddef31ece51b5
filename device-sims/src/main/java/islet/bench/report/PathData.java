package islet.bench.report;

/** The data of an SVG path, in absolute coordinates. */
final class PathData {

  private final StringBuilder data = new StringBuilder();

  PathData move(double x, double y) {
    return add('M', x, y);
  }

  PathData line(double x, double y) {
    return add('L', x, y);
  }

  PathData across(double x) {
    data.append('H');
    Num.coordinate(data, x);
    return this;
  }

  PathData down(double y) {
    data.append('V');
    Num.coordinate(data, y);
    return this;
  }

  /** A quadratic curve by its control point and its end. */
  PathData curve(double controlX, double controlY, double x, double y) {
    add('Q', controlX, controlY);
    data.append(' ');
    Num.coordinate(data, x).append(' ');
    Num.coordinate(data, y);
    return this;
  }

  /** A circular arc of less than half a turn. */
  PathData arc(double radius, boolean clockwise, double x, double y) {
    data.append('A');
    Num.coordinate(data, radius).append(' ');
    Num.coordinate(data, radius).append(clockwise ? " 0 0 1 " : " 0 0 0 ");
    Num.coordinate(data, x).append(' ');
    Num.coordinate(data, y);
    return this;
  }

  PathData close() {
    data.append('Z');
    return this;
  }

  private PathData add(char command, double x, double y) {
    data.append(command);
    Num.coordinate(data, x).append(' ');
    Num.coordinate(data, y);
    return this;
  }

  /** The path's data. */
  @Override
  public String toString() {
    return data.toString();
  }
}
