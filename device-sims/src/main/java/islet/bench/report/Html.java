package islet.bench.report;

/**
 * Markup on its way out. Written so that an XML parser accepts it too: every tag closed, every text
 * escaped.
 */
final class Html {

  private final StringBuilder out;

  Html(StringBuilder out) {
    this.out = out;
  }

  /** Adds markup as it stands. */
  Html raw(String markup) {
    out.append(markup);
    return this;
  }

  /** Adds a text, escaped. */
  Html text(String text) {
    escape(out, text);
    return this;
  }

  /**
   * Begins a self-contained page and its main part: one style, the patterns of the drawings,
   * nothing from elsewhere.
   *
   * @param title in the window's bar
   */
  Html beginPage(String title) {
    beginBody(title, Look.PAGE + Look.DRAWING);
    raw("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"patterns\" aria-hidden=\"true\">");
    return raw(Look.PATTERNS).raw("</svg>\n<main>\n");
  }

  /**
   * Begins a page as {@link #beginPage} does, for print: with a style of its own and no drawings.
   */
  Html beginPaper(String title, String style) {
    return beginBody(title, style).raw("<main>\n");
  }

  private Html beginBody(String title, String style) {
    raw("<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n");
    raw("<meta charset=\"utf-8\"/>\n<meta http-equiv=\"Content-Security-Policy\" content=\"");
    raw("default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\"/>\n");
    raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n");
    raw("<title>").text(title).raw("</title>\n<style>\n").raw(style);
    return raw("</style>\n</head>\n<body>\n");
  }

  /** Ends what {@link #beginPage} began. */
  Html endPage() {
    return raw("</main>\n</body>\n</html>\n");
  }

  /** Adds an element that holds nothing but a text; {@code open} is the tag with its attributes. */
  Html element(String open, String text) {
    out.append('<').append(open).append('>');
    escape(out, text);
    int end = open.indexOf(' ');
    out.append("</").append(end < 0 ? open : open.substring(0, end)).append('>');
    return this;
  }

  /** Opens a section under a heading. */
  Html section(String id, String heading) {
    out.append("<section id=\"").append(id).append("\">\n<h2>");
    escape(out, heading);
    out.append("</h2>\n");
    return this;
  }

  /** Where drawings are added. */
  StringBuilder buffer() {
    return out;
  }

  /**
   * Appends a text with markup's characters escaped; characters that XML does not allow become
   * U+FFFD.
   */
  static void escape(StringBuilder out, String text) {
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '&' -> out.append("&amp;");
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '"' -> out.append("&quot;");
        case '\'' -> out.append("&#39;");
        default -> {
          if (Character.isHighSurrogate(c)
              && i + 1 < text.length()
              && Character.isLowSurrogate(text.charAt(i + 1))) {
            out.append(c).append(text.charAt(++i));
          } else {
            out.append(allowed(c) ? c : '\ufffd');
          }
        }
      }
    }
  }

  private static boolean allowed(char c) {
    boolean printable = c >= ' ' && !Character.isSurrogate(c) && c < '\ufffe';
    return printable || c == '\n' || c == '\t' || c == '\r';
  }
}
