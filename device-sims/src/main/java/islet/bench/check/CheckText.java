package islet.bench.check;

import java.util.Locale;

/** A check for the terminal: figures, findings, count, cautions. */
public final class CheckText {

  private static final int WIDTH = 100;
  private static final int NAME = 46;
  private static final int VALUE = 9;
  private static final String INDENT = "            ";

  private final StringBuilder out = new StringBuilder();

  private CheckText() {}

  /** The text, lines ended by a line feed. */
  public static String of(SiteCheck check, String shownFile) {
    CheckText text = new CheckText();
    text.write(check, shownFile);
    return text.out.toString();
  }

  private void write(SiteCheck check, String shownFile) {
    out.append(check.site().name()).append(" (").append(shownFile).append(")\n");
    out.append(check.passed() ? "Nothing wrong found" : "Not ready").append(": ");
    out.append(counts(check)).append('\n');
    figures(check);
    out.append("\nFindings\n");
    if (check.findings().isEmpty()) {
      out.append("  none\n");
    }
    check.findings().forEach(this::finding);
    out.append('\n').append(counts(check)).append('\n');
    if (!check.cautions().isEmpty()) {
      out.append("\nCautions\n");
    }
    for (String caution : check.cautions()) {
      wrapped("  - ", "    ", caution);
    }
  }

  private static String counts(SiteCheck check) {
    return check.count(Severity.DANGER)
        + " danger, "
        + check.count(Severity.WRONG)
        + " wrong, "
        + check.count(Severity.DOUBTFUL)
        + " doubtful, "
        + check.count(Severity.NOTE)
        + " to note, by "
        + check.rules()
        + " rules.";
  }

  private void figures(SiteCheck check) {
    String group = "";
    for (Figure figure : check.figures()) {
      if (!figure.group().equals(group)) {
        group = figure.group();
        out.append('\n').append(group).append('\n');
      }
      String value = Double.isFinite(figure.value()) ? number(figure) : "-";
      out.append("  ").append(figure.name());
      out.append(" ".repeat(Math.max(1, NAME - figure.name().length() - value.length() + VALUE)));
      out.append(value).append(' ');
      out.append(figure.unit());
      if (!figure.note().isEmpty()) {
        out.append(" ".repeat(Math.max(1, 7 - figure.unit().length())));
        out.append(figure.note());
      }
      endLine();
    }
  }

  private static String number(Figure figure) {
    return Say.number(figure.value(), figure.decimals());
  }

  private void endLine() {
    while (out.charAt(out.length() - 1) == ' ') {
      out.setLength(out.length() - 1);
    }
    out.append('\n');
  }

  private void finding(Finding finding) {
    String severity = finding.severity().name().toLowerCase(Locale.ROOT);
    String place = finding.file() + (finding.line() > 0 ? ":" + finding.line() : "");
    out.append("  ").append(severity).append(" ".repeat(INDENT.length() - 2 - severity.length()));
    out.append(finding.field()).append("  (").append(place).append(", ");
    out.append(finding.rule()).append(")\n");
    wrapped(INDENT + "found   ", INDENT + "        ", finding.found() + ".");
    wrapped(INDENT + "why     ", INDENT + "        ", finding.why());
    wrapped(INDENT + "do      ", INDENT + "        ", finding.advice());
    wrapped(INDENT + "source  ", INDENT + "        ", finding.source());
  }

  private void wrapped(String first, String further, String text) {
    int length = first.length();
    out.append(first);
    boolean begun = false;
    for (String word : text.split(" ", -1)) {
      if (begun && length + 1 + word.length() > WIDTH) {
        out.append('\n').append(further);
        length = further.length();
        begun = false;
      }
      if (begun) {
        out.append(' ');
        length++;
      }
      out.append(word);
      length += word.length();
      begun = true;
    }
    out.append('\n');
  }
}
