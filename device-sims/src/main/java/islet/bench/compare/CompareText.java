package islet.bench.compare;

import islet.contract.Decimal;
import java.util.ArrayList;
import java.util.List;

/** A comparison for the terminal: aligned columns, each but the first with its difference. */
public final class CompareText {

  private static final String NONE = "-";
  private static final int VALUE = 11;
  private static final int DIFFERENCE = 10;
  private static final int LABEL = 18;
  private static final int WRAP = 98;

  private final StringBuilder out = new StringBuilder();
  private final Comparison comparison;
  private final int nameWidth;
  private final int[] widths;

  private CompareText(Comparison comparison) {
    this.comparison = comparison;
    int name = 0;
    for (Comparison.Group group : comparison.groups()) {
      for (Row row : group.rows()) {
        name = Math.max(name, name(row).length());
      }
    }
    nameWidth = name;
    widths = new int[comparison.columns().size()];
    for (int i = 0; i < widths.length; i++) {
      int label = Math.min(LABEL, 2 + comparison.columns().get(i).label().length());
      int least = i == 0 ? VALUE : VALUE + 1 + DIFFERENCE;
      widths[i] = Math.max(Math.max(least, label), longestWord(i));
    }
  }

  /** The text, lines ended by a line feed. */
  public static String of(Comparison comparison) {
    CompareText text = new CompareText(comparison);
    text.write();
    return text.out.toString();
  }

  private int longestWord(int column) {
    int longest = 0;
    for (Comparison.Group group : comparison.groups()) {
      for (Row row : group.rows()) {
        if (row instanceof Row.Words words) {
          longest = Math.max(longest, words.values().get(column).length());
        }
      }
    }
    return longest;
  }

  private void write() {
    List<Column> columns = comparison.columns();
    for (int i = 0; i < columns.size(); i++) {
      Column column = columns.get(i);
      wrapped(
          (char) ('A' + i % 26)
              + "  "
              + column.label()
              + ": "
              + column.result().scenario()
              + ", "
              + column.result().site()
              + ", seed "
              + column.result().seed()
              + ", "
              + column.source());
    }
    if (!comparison.notes().isEmpty()) {
      out.append('\n');
      comparison.notes().forEach(note -> wrapped("!  " + note));
    }
    out.append('\n').append(" ".repeat(nameWidth));
    for (int i = 0; i < columns.size(); i++) {
      String label = (char) ('A' + i % 26) + " " + columns.get(i).label();
      out.append("  ").append(left(shortened(label, widths[i]), widths[i]));
    }
    endLine();
    for (Comparison.Group group : comparison.groups()) {
      out.append('\n').append(group.name()).append('\n');
      group.rows().forEach(this::row);
    }
    out.append("\nDifferences are from ").append(columns.get(0).label()).append(".\n");
  }

  private void row(Row row) {
    out.append(left(name(row), nameWidth));
    for (int i = 0; i < widths.length; i++) {
      out.append("  ").append(left(cell(row, i), widths[i]));
    }
    endLine();
  }

  private static String name(Row row) {
    String unit = row instanceof Row.Figures figures ? figures.unit() : "";
    return "  " + row.name() + (unit.isEmpty() ? "" : ", " + unit);
  }

  private static String cell(Row row, int column) {
    if (row instanceof Row.Words words) {
      return words.values().get(column);
    }
    Row.Figures figures = (Row.Figures) row;
    String value = right(number(figures.values().get(column), figures.decimals()), VALUE);
    if (column == 0) {
      return value;
    }
    return value + " " + right(difference(figures, column), DIFFERENCE);
  }

  private static String difference(Row.Figures figures, int column) {
    double difference = figures.difference(column);
    if (!Double.isFinite(difference)) {
      return "";
    }
    String text = number(difference, figures.decimals());
    boolean nothing = Double.parseDouble(text) == 0;
    return nothing ? "=" : text.startsWith("-") ? text : "+" + text;
  }

  /** A number with exactly so many decimals, so that columns line up. */
  static String number(double value, int decimals) {
    if (!Double.isFinite(value)) {
      return NONE;
    }
    StringBuilder text = new StringBuilder(Decimal.text(value, decimals));
    if (decimals > 0) {
      int point = text.indexOf(".");
      if (point < 0) {
        point = text.length();
        text.append('.');
      }
      while (text.length() - point <= decimals) {
        text.append('0');
      }
    }
    return text.toString();
  }

  private void endLine() {
    int end = out.length();
    while (end > 0 && out.charAt(end - 1) == ' ') {
      end--;
    }
    out.setLength(end);
    out.append('\n');
  }

  /** Text in lines that fit a terminal; further lines stand under the first one's fourth letter. */
  private void wrapped(String text) {
    List<String> words = new ArrayList<>(List.of(text.split(" ")));
    int length = 0;
    for (String word : words) {
      if (length > 0 && length + 1 + word.length() > WRAP) {
        out.append("\n   ");
        length = 3;
      } else if (length > 0) {
        out.append(' ');
        length++;
      }
      out.append(word);
      length += word.length();
    }
    out.append('\n');
  }

  private static String shortened(String text, int width) {
    return text.length() <= width ? text : text.substring(0, width - 1) + "…";
  }

  private static String left(String text, int width) {
    return text + " ".repeat(Math.max(0, width - text.length()));
  }

  private static String right(String text, int width) {
    return " ".repeat(Math.max(0, width - text.length())) + text;
  }
}
