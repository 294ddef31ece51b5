package islet.bench.report;

import islet.bench.compare.Column;
import islet.bench.compare.Comparison;
import islet.bench.compare.Row;
import java.util.List;

/**
 * Runs side by side as one self-contained page in UTF-8 that also parses as XML, readable without
 * script, colour or network, on a wall or on paper. The same runs give the same bytes.
 */
public final class ComparePage {

  private final Comparison comparison;
  private final Html html = new Html(new StringBuilder(60_000));

  private ComparePage(Comparison comparison) {
    this.comparison = comparison;
  }

  /** The page, to be stored as UTF-8. */
  public static String html(Comparison comparison) {
    ComparePage page = new ComparePage(comparison);
    page.write();
    return page.html.buffer().toString();
  }

  private void write() {
    head();
    columns();
    notes();
    bars();
    comparison.groups().forEach(this::group);
    html.raw("<p class=\"quiet\">The second figure of a column is its difference from ");
    html.text(comparison.columns().get(0).label()).raw("; an equals sign is none.</p>\n");
    html.raw("<aside class=\"care\"><p>Islet rehearses; certified device protection protects. ");
    html.raw("This page compares simulations and replaces no test that an authority or a code ");
    html.raw("asks for. Before live work: isolate, lock out, prove dead; beware of backfeed, ");
    html.raw("stored energy, DC arcs and battery gas. Local codes and a licensed person decide.");
    html.raw("</p></aside>\n").endPage();
  }

  private void head() {
    StringBuilder title = new StringBuilder();
    for (Column column : comparison.columns()) {
      title.append(title.length() == 0 ? "" : ", ").append(column.label());
    }
    html.beginPage("Side by side: " + title);
    html.element("h1", "Side by side: " + title).raw("\n");
  }

  private void columns() {
    html.raw("<table><thead><tr><th class=\"tag\">Verdict</th><th>Run</th></tr></thead><tbody>\n");
    for (Column column : comparison.columns()) {
      html.raw("<tr><td>");
      boolean passed = column.result().passed();
      html.element(passed ? "span class=\"word\"" : "span class=\"word bad\"", word(passed));
      html.raw("</td><td><b>").text(column.label()).raw("</b> ").text(column.result().scenario());
      html.element(
          "span class=\"why\"",
          column.result().site()
              + " · "
              + Num.duration(column.result().simulatedSeconds())
              + " · seed "
              + column.result().seed()
              + " · Islet "
              + column.result().version()
              + " · "
              + column.source());
      html.raw("</td></tr>\n");
    }
    html.raw("</tbody></table>\n");
  }

  private static String word(boolean passed) {
    return passed ? "Pass" : "Fail";
  }

  private void notes() {
    if (comparison.notes().isEmpty()) {
      return;
    }
    html.raw("<aside class=\"care\" aria-label=\"Before comparing\">\n");
    comparison.notes().forEach(note -> html.element("p", note).raw("\n"));
    html.raw("</aside>\n");
  }

  private void bars() {
    html.section("energy", "Where every kWh came from and went");
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    CompareBars.energy(html.buffer(), comparison.columns());
    html.raw("</div>\n</figure>\n</section>\n");
    List<String> currencies =
        comparison.columns().stream()
            .flatMap(column -> column.result().cost().stream())
            .map(entry -> entry.name())
            .filter(name -> name.startsWith("total_"))
            .map(name -> name.substring("total_".length()))
            .distinct()
            .toList();
    if (currencies.size() == 1) {
      html.section("cost", "What it cost");
      html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
      CompareBars.cost(html.buffer(), comparison.columns(), currencies.get(0));
      html.raw("</div>\n</figure>\n</section>\n");
    }
  }

  private void group(Comparison.Group group) {
    html.raw("<section>\n").element("h2", group.name());
    html.raw("\n<div class=\"wide\" tabindex=\"0\">\n<table><thead><tr><th></th>");
    for (int i = 0; i < comparison.columns().size(); i++) {
      String wide = i == 0 ? "" : " colspan=\"2\"";
      html.element("th class=\"n\"" + wide, comparison.columns().get(i).label());
    }
    html.raw("</tr></thead><tbody>\n");
    group.rows().forEach(this::row);
    html.raw("</tbody></table>\n</div>\n</section>\n");
  }

  private void row(Row row) {
    boolean part = row.name().startsWith(" ");
    html.raw(row.name().equals("Total") ? "<tr class=\"total\">" : "<tr>");
    html.raw(part ? "<td class=\"quiet\">\u2003" : "<td>").text(row.name().strip());
    if (row instanceof Row.Figures figures && !figures.unit().isEmpty()) {
      html.raw(" <span class=\"quiet\">").text(figures.unit()).raw("</span>");
    }
    html.raw("</td>");
    for (int i = 0; i < comparison.columns().size(); i++) {
      if (row instanceof Row.Words words) {
        html.raw(i == 0 ? "<td class=\"n\">" : "<td class=\"n\" colspan=\"2\">");
        if (words.bad().get(i)) {
          html.element("span class=\"word bad\"", words.values().get(i));
        } else {
          html.text(words.values().get(i));
        }
        html.raw("</td>");
      } else if (row instanceof Row.Figures figures) {
        figure(figures, i);
      }
    }
    html.raw("</tr>\n");
  }

  /** The value and, in every column but the first, a cell for its difference. */
  private void figure(Row.Figures figures, int column) {
    html.element("td class=\"n\"", Num.fixed(figures.values().get(column), figures.decimals()));
    if (column > 0) {
      double difference = figures.difference(column);
      String text = Num.fixed(difference, figures.decimals());
      boolean nothing = text.chars().noneMatch(c -> c >= '1' && c <= '9');
      String signed = nothing ? "=" : text.startsWith("−") ? text : "+" + text;
      html.element("td class=\"n quiet\"", Double.isFinite(difference) ? signed : "");
    }
  }
}
