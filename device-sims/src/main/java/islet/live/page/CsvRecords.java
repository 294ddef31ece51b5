package islet.live.page;

import java.io.BufferedReader;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;

/** The records of a table after RFC 4180, one by one. */
final class CsvRecords {

  private final BufferedReader in;
  private int line;

  CsvRecords(BufferedReader in) {
    this.in = in;
  }

  /** The line on which the last record ended, from 1. */
  int line() {
    return line;
  }

  /** The next record's fields; none at the end of the table. */
  List<String> next() throws IOException {
    List<String> fields = new ArrayList<>();
    String text = in.readLine();
    if (text == null) {
      return fields;
    }
    line++;
    StringBuilder field = new StringBuilder();
    boolean quoted = false;
    int i = 0;
    while (true) {
      if (i == text.length()) {
        String more = quoted ? in.readLine() : null;
        if (more == null) {
          fields.add(field.toString());
          return fields;
        }
        line++;
        field.append('\n');
        text = more;
        i = 0;
        continue;
      }
      char c = text.charAt(i++);
      if (quoted && c == '"' && i < text.length() && text.charAt(i) == '"') {
        field.append('"');
        i++;
      } else if (c == '"') {
        quoted = !quoted;
      } else if (c == ',' && !quoted) {
        fields.add(field.toString());
        field.setLength(0);
      } else {
        field.append(c);
      }
    }
  }
}
