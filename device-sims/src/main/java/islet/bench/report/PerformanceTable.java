package islet.bench.report;

import islet.bench.RunResult.Entry;
import java.util.ArrayList;
import java.util.List;

/** What the run made of sun and battery, in the figures that installations are compared by. */
final class PerformanceTable {

  private record Figure(String entry, String name, double factor, String unit, int decimals) {}

  private static final List<Figure> FIGURES =
      List.of(
          new Figure("soc_start", "State of charge at the start", 100, "%", 1),
          new Figure("soc_end", "State of charge at the end", 100, "%", 1),
          new Figure("self_consumption", "Self-consumption of PV", 100, "%", 1),
          new Figure("self_sufficiency", "Self-sufficiency (autarky)", 100, "%", 1),
          new Figure("in_plane_kWh_per_m2", "Irradiation in the array's plane", 1, "kWh/m²", 3),
          new Figure("reference_yield_h", "Reference yield", 1, "h", 3),
          new Figure("array_yield_h", "Array yield", 1, "h", 3),
          new Figure("final_yield_h", "Final yield", 1, "h", 3),
          new Figure("performance_ratio", "Performance ratio", 1, "", 3));

  private PerformanceTable() {}

  /** Writes the figures that are there; returns the entries that are none of them. */
  static List<Entry> write(Html html, List<Entry> entries) {
    List<Entry> rest = new ArrayList<>(entries);
    rest.removeIf(entry -> FIGURES.stream().anyMatch(f -> f.entry().equals(entry.name())));
    if (rest.size() == entries.size()) {
      return rest;
    }
    html.raw("<table><caption>Performance</caption><tbody>\n");
    for (Figure figure : FIGURES) {
      for (Entry entry : entries) {
        if (entry.name().equals(figure.entry())) {
          html.raw("<tr>").element("td", figure.name()).raw("<td class=\"n\">");
          html.text(Num.fixed(entry.value() * figure.factor(), figure.decimals()));
          html.text(figure.unit().isEmpty() ? "" : "\u00a0" + figure.unit()).raw("</td></tr>\n");
        }
      }
    }
    html.raw("</tbody></table>\n");
    html.raw(
        "<p class=\"quiet\">Read them with the battery's change of charge in mind: a run that ends with an emptier battery than it began with looks better than it was.</p>\n");
    return rest;
  }
}
