package islet.bench.report;

/**
 * The few shapes that the drawings are made of. Looks come from classes of {@link Look}; lengths
 * are in units of the drawing's view box.
 */
final class Svg {

  private final StringBuilder out;

  Svg(StringBuilder out) {
    this.out = out;
  }

  /** Opens a drawing inside a page; {@code label} says in words what it shows. */
  Svg open(double width, double height, String label) {
    out.append("<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"0 0 ");
    Num.coordinate(out, width).append(' ');
    Num.coordinate(out, height).append("\" aria-label=\"");
    Html.escape(out, label);
    out.append("\">\n");
    return this;
  }

  /** Opens a drawing that stands alone in a file and brings its looks along. */
  Svg openAlone(double width, double height, String label) {
    open(width, height, label);
    out.append("<style>").append(Look.DRAWING).append("</style>\n").append(Look.PATTERNS);
    return rect("paper", 0, 0, width, height);
  }

  Svg close() {
    out.append("</svg>\n");
    return this;
  }

  Svg line(String look, double x1, double y1, double x2, double y2) {
    begin("line", look);
    attribute("x1", x1);
    attribute("y1", y1);
    attribute("x2", x2);
    attribute("y2", y2);
    return end();
  }

  Svg rect(String look, double x, double y, double width, double height) {
    begin("rect", look);
    attribute("x", x);
    attribute("y", y);
    attribute("width", width);
    attribute("height", height);
    return end();
  }

  /** A rectangle with rounded corners. */
  Svg rounded(String look, double x, double y, double width, double height, double radius) {
    begin("rect", look);
    attribute("x", x);
    attribute("y", y);
    attribute("width", width);
    attribute("height", height);
    attribute("rx", radius);
    return end();
  }

  Svg circle(String look, double x, double y, double radius) {
    begin("circle", look);
    attribute("cx", x);
    attribute("cy", y);
    attribute("r", radius);
    return end();
  }

  Svg path(String look, CharSequence data) {
    begin("path", look);
    out.append(" d=\"").append(data).append('"');
    return end();
  }

  /** A text on its base line. */
  Svg text(String look, double x, double y, String text) {
    begin("text", look);
    attribute("x", x);
    attribute("y", y);
    out.append('>');
    Html.escape(out, text);
    out.append("</text>\n");
    return this;
  }

  /** A name and, smaller and a little apart on the same base line, what belongs to it. */
  Svg pair(double x, double y, String name, String detail) {
    begin("text", "");
    attribute("x", x);
    attribute("y", y);
    out.append('>');
    Html.escape(out, name);
    out.append("<tspan class=\"small\" dx=\"10\">");
    Html.escape(out, detail);
    out.append("</tspan></text>\n");
    return this;
  }

  private void begin(String shape, String look) {
    out.append('<').append(shape);
    if (!look.isEmpty()) {
      out.append(" class=\"").append(look).append('"');
    }
  }

  private void attribute(String name, double value) {
    out.append(' ').append(name).append("=\"");
    Num.coordinate(out, value).append('"');
  }

  private Svg end() {
    out.append("/>\n");
    return this;
  }
}
