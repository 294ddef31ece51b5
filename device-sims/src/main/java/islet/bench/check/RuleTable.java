package islet.bench.check;

import java.util.Locale;

/** All rules as tables of a document. */
public final class RuleTable {

  private RuleTable() {}

  /** In Markdown, a table for each group. */
  public static String markdown() {
    StringBuilder out = new StringBuilder();
    out.append(Rules.all().size()).append(" rules.\n");
    for (Rules.Group group : Rules.groups()) {
      out.append("\n### ").append(group.name()).append("\n\n");
      out.append("| rule | what is asked | why | at worst | source |\n");
      out.append("| --- | --- | --- | --- | --- |\n");
      for (Rule rule : group.rules()) {
        out.append("| `").append(rule.name()).append("` | ").append(rule.asks());
        out.append(" | ").append(rule.why());
        out.append(" | ").append(rule.worst().name().toLowerCase(Locale.ROOT));
        out.append(" | ").append(rule.source()).append(" |\n");
      }
    }
    return out.toString();
  }
}
