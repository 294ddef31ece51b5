package islet.bench.campaign;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.util.Locale;

/**
 * A campaign's results as a build server reads them: one test suite, one test case for each case,
 * in the XML that build servers have taken from JUnit's runners. Written row by row.
 */
public final class JUnitXml {

  private JUnitXml() {}

  /**
   * Writes the document.
   *
   * @param store whose rows are written, by number
   * @throws IOException when the writer does
   */
  public static void write(Tally tally, ResultStore store, Writer out) throws IOException {
    out.write("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.write("<testsuite name=\"");
    out.write(escaped(tally.campaign().title()));
    out.write(
        String.format(
            Locale.ROOT,
            "\" tests=\"%d\" failures=\"%d\" errors=\"0\" skipped=\"%d\">%n",
            tally.cases(),
            tally.failed(),
            tally.waived()));
    try {
      store.each(row -> put(row, out));
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
    out.write("</testsuite>\n");
  }

  private static void put(CaseRow row, Writer out) {
    try {
      out.write("  <testcase classname=\"");
      out.write(escaped(row.course() + (row.mode().isEmpty() ? "" : "." + row.mode())));
      out.write("\" name=\"");
      String at =
          row.atMicros() < 0 ? "" : String.format(Locale.ROOT, " at %.6f s", row.atMicros() / 1e6);
      out.write(escaped(row.id() + " " + row.mishap() + at));
      switch (row.verdict()) {
        case PASS -> out.write("\"/>\n");
        case WAIVED -> {
          out.write("\">\n    <skipped message=\"");
          out.write(escaped("waived " + row.hazard() + ": " + row.detail()));
          out.write("\"/>\n  </testcase>\n");
        }
        case FAIL, BROKEN -> {
          out.write("\">\n    <failure type=\"");
          out.write(escaped(row.hazard().isEmpty() ? "broken" : row.hazard()));
          out.write("\" message=\"");
          out.write(escaped(row.detail()));
          out.write("\">");
          out.write(escaped(row.events()));
          out.write("</failure>\n  </testcase>\n");
        }
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static String escaped(String text) {
    StringBuilder out = new StringBuilder(text.length() + 16);
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '&' -> out.append("&amp;");
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '"' -> out.append("&quot;");
        case '\n' -> out.append("&#10;");
        default -> out.append(c >= ' ' && c != '\uFFFE' && c != '\uFFFF' ? c : '?');
      }
    }
    return out.toString();
  }
}
