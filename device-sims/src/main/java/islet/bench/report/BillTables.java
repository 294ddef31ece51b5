package islet.bench.report;

import islet.bench.Bill;
import islet.bench.RunRecord;
import islet.bench.RunResult.Entry;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** The bill for people: its sums, then what each band, each demand charge and each month gave. */
final class BillTables {

  private final Html html;
  private final RunRecord run;
  private final CivilTime time;
  private final String currency;

  private BillTables(Html html, RunRecord run, CivilTime time) {
    this.html = html;
    this.run = run;
    this.time = time;
    this.currency = run.site().tariff().currency();
  }

  /** Writes the tables; entries that are not known are shown as they are. */
  static void write(Html html, RunRecord run, CivilTime time) {
    new BillTables(html, run, time).write(run.result().cost());
  }

  private void write(List<Entry> cost) {
    Map<String, Map<String, Double>> bands = parts(cost, Bill.BAND);
    Map<String, Map<String, Double>> demands = parts(cost, Bill.DEMAND);
    Map<String, Map<String, Double>> months = parts(cost, Bill.MONTH);
    html.raw("<table><thead><tr><th>Item</th><th class=\"n\">Value</th></tr></thead><tbody>\n");
    for (Entry entry : cost) {
      if (Bill.isSum(entry)) {
        sum(entry);
      }
    }
    html.raw("</tbody></table>\n");
    peak(cost);
    table(
        "By band",
        bands,
        List.of("import_kWh", "import_" + currency, "export_kWh", "export_credit_" + currency),
        List.of("Import, kWh", "Cost, " + currency, "Export, kWh", "Credit, " + currency));
    table(
        "Demand charges",
        demands,
        List.of("kW", "at_s", currency),
        List.of("Highest interval, kW", "It began", "Cost, " + currency));
    table(
        "By month",
        months,
        List.of("import_kWh", "export_kWh", "peak_kW", "total_" + currency),
        List.of("Import, kWh", "Export, kWh", "Highest interval, kW", "Total, " + currency));
  }

  private void sum(Entry entry) {
    int unitAt = entry.name().lastIndexOf('_');
    String name = unitAt < 0 ? entry.name() : entry.name().substring(0, unitAt);
    String unit = entry.name().substring(unitAt + 1);
    html.raw(name.equals("total") ? "<tr class=\"total\">" : "<tr>");
    html.element("td", Words.of(name)).raw("<td class=\"n\">");
    html.text(Num.fixed(entry.value(), unit.equals(currency) ? 2 : 3)).raw("\u00a0").text(unit);
    html.raw("</td></tr>\n");
  }

  private void peak(List<Entry> cost) {
    double kW = Double.NaN;
    double at = Double.NaN;
    for (Entry entry : cost) {
      kW = entry.name().equals("peak_kW") ? entry.value() : kW;
      at = entry.name().equals("peak_at_s") ? entry.value() : at;
    }
    if (kW > 0 && Double.isFinite(at)) {
      html.raw("<p>Highest interval of ")
          .text(Integer.toString(run.site().tariff().intervalMinutes()))
          .raw("\u00a0minutes: ")
          .text(Num.fixed(kW, 3))
          .raw("\u00a0kW on the mean, from ")
          .text(time.stamp(CivilTime.instant(run, at)))
          .raw(".</p>\n");
    }
  }

  /** Values by the part's name and then by what they are. */
  private static Map<String, Map<String, Double>> parts(List<Entry> cost, String prefix) {
    Map<String, Map<String, Double>> parts = new LinkedHashMap<>();
    for (Entry entry : cost) {
      int second = entry.name().indexOf('_', prefix.length());
      if (entry.name().startsWith(prefix) && second > 0) {
        parts
            .computeIfAbsent(
                entry.name().substring(prefix.length(), second), part -> new LinkedHashMap<>())
            .put(entry.name().substring(second + 1), entry.value());
      }
    }
    return parts;
  }

  private void table(
      String caption,
      Map<String, Map<String, Double>> parts,
      List<String> columns,
      List<String> heads) {
    if (parts.isEmpty()) {
      return;
    }
    html.raw("<table>").element("caption", caption).raw("<thead><tr><th></th>");
    for (String head : heads) {
      html.element("th class=\"n\"", head);
    }
    html.raw("</tr></thead><tbody>\n");
    parts.forEach(
        (name, values) -> {
          html.raw("<tr>").element("td", name);
          List<String> cells = new ArrayList<>();
          for (String column : columns) {
            cells.add(cell(column, values.getOrDefault(column, Double.NaN)));
          }
          cells.forEach(cell -> html.element("td class=\"n\"", cell));
          html.raw("</tr>\n");
        });
    html.raw("</tbody></table>\n");
  }

  private String cell(String column, double value) {
    if (Double.isNaN(value)) {
      return Num.NONE;
    }
    if (column.equals("at_s")) {
      return time.stamp(CivilTime.instant(run, value));
    }
    return Num.fixed(value, column.endsWith(currency) ? 2 : 3);
  }
}
