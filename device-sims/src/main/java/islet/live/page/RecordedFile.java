package islet.live.page;

import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** A table of a run folder, and what is said when it is not as a run writes it. */
record RecordedFile(Path path) {

  /** A hundred years, s; instants beyond are none that a run writes. */
  private static final double MOST_S = 100 * 366 * 86_400.0;

  /**
   * Opens it.
   *
   * @throws InputException when it is not there
   */
  BufferedReader open() throws IOException {
    if (!Files.isRegularFile(path)) {
      throw wrong(0, "", "no such file", "a run folder as a run left it");
    }
    // Bytes that are no UTF-8 come out as signs that a check of the field below refuses.
    return new BufferedReader(
        new InputStreamReader(Files.newInputStream(path), StandardCharsets.UTF_8));
  }

  /** Insists on columns that a table must begin with. */
  void insistOn(List<String> wanted, List<String> header) {
    if (header.size() < wanted.size() || !header.subList(0, wanted.size()).equals(wanted)) {
      throw wrong(
          1, "", quoted(String.join(",", header)), "the columns " + String.join(",", wanted));
    }
  }

  /** Insists that a line has as many fields as the table has columns. */
  void insistOnWidth(int line, int columns, int found) {
    if (found != columns) {
      throw wrong(line, "", found + " fields", columns + " fields, as the first line has");
    }
  }

  /**
   * An instant.
   *
   * @param text seconds since the start
   * @return microseconds since the start
   */
  long micros(int line, String text) {
    double seconds = isNumber(text) ? Double.parseDouble(text) : Double.NaN;
    if (!(Math.abs(seconds) <= MOST_S)) {
      throw wrong(line, "time_s", quoted(text), "a number of seconds");
    }
    return Math.round(seconds * 1e6);
  }

  /** Whether a text is a number as tables write it and JSON takes it: digits, one point. */
  static boolean isNumber(String text) {
    int digits = 0;
    int points = 0;
    for (int i = text.startsWith("-") ? 1 : 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '.' && digits > 0) {
        points++;
      } else if (c >= '0' && c <= '9') {
        digits++;
      } else {
        return false;
      }
    }
    return digits > 0 && points <= 1 && !text.endsWith(".");
  }

  InputException wrong(int line, String field, String found, String allowed) {
    return new InputException(
        List.of(
            new Problem(
                InputFile.shown(path),
                line,
                field,
                found,
                allowed,
                "Run the case again: rehearse with the scenario.yaml beside it.")));
  }

  static String quoted(String text) {
    return "\"" + (text.length() <= 60 ? text : text.substring(0, 57) + "...") + "\"";
  }
}
