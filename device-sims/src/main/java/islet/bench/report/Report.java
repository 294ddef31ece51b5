package islet.bench.report;

import islet.bench.EventLog;
import islet.bench.RunRecord;
import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.VoltageExcursion;
import islet.bench.plug.Supervisors;
import islet.contract.AlarmPriority;
import islet.site.Site;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/**
 * The report of a run: one self-contained page in UTF-8 that also parses as XML, readable without
 * script, colour or network, on a wall or on paper. The verdict comes first. The same run gives the
 * same bytes.
 */
public final class Report {

  /** More than these are not drawn or listed; the page says so and names the file with all. */
  private static final int MOST_WINDOWS = 12;

  private static final int MOST_EVENTS = 400;
  private static final int MOST_ROWS = 200;
  private static final int MOST_MARKS = 12;
  private static final long[] NEVER = {};

  private final RunRecord run;
  private final RunResult result;
  private final CivilTime time;
  private final TimeAxis axis;
  private final List<long[]> away;
  private final List<SvgChart.Mark> alerts;
  private final Html html = new Html(new StringBuilder(400_000));

  private Report(RunRecord run) {
    this.run = run;
    this.result = run.result();
    long end = CivilTime.end(run);
    this.time = new CivilTime(run.site().place().zone(), run.startMicros(), end);
    this.axis = TimeAxis.civil(time, run.startMicros(), end);
    this.away = utilityAway(run.trace(), axis);
    this.alerts = violations();
  }

  /** The page of a run, to be stored as UTF-8; fits {@link islet.bench.ReportWriter}. */
  public static String html(RunRecord run) {
    Report report = new Report(run);
    report.write();
    return report.html.buffer().toString();
  }

  private void write() {
    head();
    verdict();
    care();
    contents();
    hazards();
    expectations();
    transitions();
    diagram();
    states();
    charts();
    transfers();
    excursions();
    energy();
    bill();
    alarms();
    events();
    cautions();
    settings();
    html.endPage();
  }

  private void head() {
    html.beginPage(word(result.passed()) + ": " + result.scenario());
  }

  private static String word(boolean passed) {
    return passed ? "Passed" : "Failed";
  }

  private void verdict() {
    html.element("h1", result.scenario()).raw("\n<p class=\"run\">");
    html.text(run.site().name()).raw(" · from ").text(time.full(run.startMicros()));
    html.raw(" · ").text(Num.duration(result.simulatedSeconds())).raw(" · seed ");
    html.text(Long.toString(result.seed())).raw(" · Islet ").text(result.version());
    if (!result.supervisor().equals(Supervisors.OWN_NAME)) {
      html.raw(" · supervisor ").text(result.supervisor());
    }
    html.raw("</p>\n<div class=\"verdict").raw(result.passed() ? "" : " fail").raw("\">\n");
    html.element("strong", word(result.passed())).raw("\n<p>").text(hazardSentence());
    html.raw("<br/>").text(expectationSentence()).raw("<br/>").text(alarmSentence());
    html.raw("</p>\n</div>\n");
  }

  private String hazardSentence() {
    int failed = 0;
    int waived = 0;
    for (RunResult.HazardVerdict hazard : result.hazards()) {
      failed += hazard.verdict() == Outcome.FAIL ? 1 : 0;
      waived += hazard.verdict() == Outcome.WAIVED ? 1 : 0;
    }
    StringBuilder out = new StringBuilder();
    out.append(result.hazards().size()).append(" hazards watched, ");
    out.append(failed == 0 ? "none" : Integer.toString(failed)).append(" violated");
    if (waived > 0) {
      out.append(", ").append(waived).append(" waived with a reason");
    }
    return out.append('.').toString();
  }

  private String expectationSentence() {
    int met = 0;
    for (RunResult.ExpectationVerdict expectation : result.expectations()) {
      met += expectation.verdict() == Outcome.PASS ? 1 : 0;
    }
    int all = result.expectations().size();
    return all == 0 ? "No expectations were stated." : met + " of " + all + " expectations met.";
  }

  private String alarmSentence() {
    int count = result.alarms().size();
    return count == 0 ? "No alarm rang." : count == 1 ? "1 alarm rang." : count + " alarms rang.";
  }

  /** The dangers of the real plant, on the face of the page whatever the run has shown. */
  private void care() {
    html.raw(
        "<aside class=\"care\" aria-label=\"Cautions\">\n<p><b>Before anybody works on the real plant.</b> ");
    html.raw("<b>Backfeed:</b> a line whose utility is down can be live from this side. ");
    html.raw("<b>Stored energy:</b> battery and capacitors stay live with every breaker open. ");
    html.raw("<b>DC arcs</b> do not go out by themselves; never open a loaded connector. ");
    html.raw("<b>Battery gas</b> can explode; ventilate and keep flames away. ");
    html.raw("<b>Lock out</b> and tag every source, then prove it dead.</p>\n");
    html.raw(
        "<p>Local codes and a licensed person decide. Islet rehearses; certified device protection protects. ");
    html.raw(
        "This page is the result of a simulation and replaces no test that an authority or a code asks for.</p>\n</aside>\n");
  }

  private void contents() {
    html.raw("<nav aria-label=\"On this page\"><ul>");
    String[][] entries = {
      {"hazards", "Hazards"},
      {"expectations", "Expectations"},
      {"transitions", "Transitions"},
      {"diagram", "One-line diagram"},
      {"states", "States"},
      {"charts", "Charts"},
      {"transfers", "Transfers"},
      {"excursions", "Voltage tolerance"},
      {"energy", "Energy"},
      {"bill", "Bill"},
      {"alarms", "Alarms"},
      {"events", "Events"},
      {"cautions", "Cautions"},
      {"settings", "Settings"}
    };
    for (String[] entry : entries) {
      html.raw("<li><a href=\"#").raw(entry[0]).raw("\">").text(entry[1]).raw("</a></li>\n");
    }
    html.raw("</ul></nav>\n");
  }

  private void hazards() {
    html.section("hazards", "Hazards");
    html.raw(
        "<p class=\"quiet\">The margin tells how far the run stayed from the bound at its worst instant; below zero it went past.</p>\n");
    html.raw(
        "<table><thead><tr><th class=\"tag\">Verdict</th><th>Hazard</th><th class=\"n\">Worst margin</th></tr></thead><tbody>\n");
    List<RunResult.HazardVerdict> sorted = new ArrayList<>(result.hazards());
    sorted.sort(Comparator.comparingInt(hazard -> rank(hazard.verdict())));
    for (RunResult.HazardVerdict hazard : sorted) {
      boolean occasion = hazard.firstAtSeconds() >= 0 || hazard.verdict() != Outcome.PASS;
      html.raw("<tr><td>");
      if (occasion) {
        outcome(hazard.verdict());
      } else {
        html.element("span class=\"word none\"", "No case");
      }
      html.raw("</td><td><b>").text(hazard.title()).raw("</b> <span class=\"quiet\">");
      html.text(hazard.id()).raw("</span>");
      if (!hazard.detail().isEmpty()) {
        html.element("span class=\"why\"", hazard.detail());
      }
      html.raw("</td>");
      margin(occasion ? hazard.worstMargin() : Double.NaN, hazard.unit(), hazard.firstAtSeconds());
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n</section>\n");
  }

  private static int rank(Outcome outcome) {
    return switch (outcome) {
      case FAIL -> 0;
      case WAIVED -> 1;
      case PASS -> 2;
    };
  }

  private void outcome(Outcome outcome) {
    switch (outcome) {
      case PASS -> html.element("span class=\"word\"", "Pass");
      case FAIL -> html.element("span class=\"word bad\"", "Fail");
      case WAIVED -> html.element("span class=\"word warn\"", "Waived");
    }
  }

  private void margin(double margin, String unit, double atSeconds) {
    html.raw("<td class=\"n\">").text(Num.significant(margin));
    if (Double.isFinite(margin) && !unit.isEmpty() && !unit.equals("1")) {
      html.raw("\u00a0").text(unit);
    }
    if (atSeconds >= 0) {
      html.element("small", "at " + time.stamp(CivilTime.instant(run, atSeconds)));
    }
    html.raw("</td>");
  }

  private void expectations() {
    html.section("expectations", "Expectations");
    if (result.expectations().isEmpty()) {
      html.raw("<p>The scenario states none.</p>\n</section>\n");
      return;
    }
    html.raw(
        "<table><thead><tr><th class=\"tag\">Verdict</th><th>Expectation, as the scenario has it</th><th class=\"n\">Margin</th></tr></thead><tbody>\n");
    for (RunResult.ExpectationVerdict expectation : result.expectations()) {
      html.raw("<tr><td>");
      outcome(expectation.verdict());
      html.raw("</td>").element("td", expectation.text());
      margin(expectation.margin(), expectation.unit(), expectation.atSeconds());
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n</section>\n");
  }

  private void transitions() {
    html.section("transitions", "Transitions");
    List<RunResult.Transition> all = result.transitions();
    if (all.isEmpty()) {
      html.raw("<p>The mode never changed.</p>\n</section>\n");
      return;
    }
    html.raw(
        "<table><thead><tr><th class=\"when\">Time</th><th>From → to, and why</th></tr></thead><tbody>\n");
    for (RunResult.Transition transition : all.subList(0, Math.min(MOST_ROWS, all.size()))) {
      html.raw("<tr>")
          .element("td class=\"when\"", time.stamp(CivilTime.instant(run, transition.atSeconds())));
      html.raw("<td><b>")
          .text(Words.of(transition.from()))
          .raw(" → ")
          .text(Words.of(transition.to()));
      html.raw("</b>").element("span class=\"why\"", transition.reason()).raw("</td></tr>\n");
    }
    html.raw("</tbody></table>\n");
    rest(all.size(), MOST_ROWS, "transitions stand in verdict.json");
    html.raw("</section>\n");
  }

  private void rest(int all, int shown, String where) {
    if (all > shown) {
      html.raw("<p class=\"quiet\">")
          .text(Num.count(all - shown) + " more " + where + ".")
          .raw("</p>\n");
    }
  }

  private void diagram() {
    html.section("diagram", "One-line diagram");
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    OneLine.draw(html.buffer(), run.site());
    html.raw("</div>\n</figure>\n</section>\n");
  }

  private void states() {
    html.section("states", "States over time");
    html.raw(
        "<p class=\"quiet\">Civil time at the site. Utility, tie and inverter as they truly were; mode and charge stage as the supervisor stated them.</p>\n");
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    StateStrip.draw(html.buffer(), run.trace(), axis, alerts);
    html.raw("</div>\n</figure>\n</section>\n");
  }

  private void charts() {
    Site.Battery battery = run.site().battery();
    html.section("charts", "Charts over the whole run");
    html.raw(
        "<p class=\"quiet\">One time axis for all. Every column of a chart keeps its least and greatest value, so no spike is lost.");
    html.raw(away.isEmpty() ? "" : " Shaded: the utility is dead.").raw("</p>\n");
    chart(
        "DC voltages",
        "V; set points at 25 °C",
        new SvgChart(run.trace(), axis, "V", 260)
            .limit(
                "Most " + Num.significant(battery.limits().maximumV()), battery.limits().maximumV())
            .limit(
                "Absorption " + Num.significant(battery.charge().absorptionV()),
                battery.charge().absorptionV())
            .limit("Float " + Num.significant(battery.charge().floatV()), battery.charge().floatV())
            .limit(
                "Disconnect " + Num.significant(battery.limits().disconnectV()),
                battery.limits().disconnectV())
            .line("DC bus", "l1", Quantity.of(Signal.BUS_VOLTAGE))
            .line("Battery", "l0", Quantity.of(Signal.BATTERY_VOLTAGE)));
    chart(
        "State of charge",
        "% of capacity; by voltage alone, as if the battery rested: shown, not decided by",
        new SvgChart(run.trace(), axis, "%", 200)
            .showing(0, 100)
            .limit(
                "Floor " + Num.significant(100 * battery.limits().floorSoc()),
                100 * battery.limits().floorSoc())
            .line("Reserve", "l2", Quantity.of(Signal.SUPERVISOR_RESERVE, 100))
            .line("By voltage", "l4", Quantity.of(Signal.SUPERVISOR_VOLTAGE_SOC, 100))
            .line("Counted", "l3", Quantity.of(Signal.SUPERVISOR_SOC, 100))
            .line("Charge", "l0", Quantity.of(Signal.BATTERY_SOC, 100)));
    chart(
        "PV power",
        "W; hatched: available, yet not taken",
        new SvgChart(run.trace(), axis, "W", 170)
            .showing(0, 0)
            .area("PV available", "l2", Quantity.of(Signal.PV_AVAILABLE))
            .area("PV taken", "l0", Quantity.of(Signal.PV_POWER)));
    chart(
        "Load power",
        "W",
        new SvgChart(run.trace(), axis, "W", 170)
            .showing(0, 0)
            .line("Non-critical", "l1", Quantity.of(Signal.NONCRITICAL_POWER))
            .line("Critical", "l0", Quantity.of(Signal.CRITICAL_POWER)));
    chart(
        "Utility, inverter and battery power",
        "W; utility + import, battery + charging",
        new SvgChart(run.trace(), axis, "W", 230)
            .showing(0, 0)
            .line("Inverter, AC", "l3", Quantity.of(Signal.INVERTER_POWER))
            .line(
                "Battery",
                "l2",
                (trace, row) ->
                    trace.value(row, Signal.BATTERY_VOLTAGE)
                        * trace.value(row, Signal.BATTERY_CURRENT))
            .line("Utility", "l0", Quantity.of(Signal.PCC_POWER)));
    chart(
        "AC voltages",
        "per unit of nominal",
        new SvgChart(run.trace(), axis, "pu", 200)
            .showing(0, 1.1)
            .line("Main panel", "l2", Quantity.of(Signal.MAIN_VOLTAGE))
            .line("Emergency panel", "l0", Quantity.of(Signal.CRITICAL_VOLTAGE)));
    html.raw("</section>\n");
  }

  private void chart(String title, String remark, SvgChart chart) {
    html.raw("<figure>\n<figcaption>").text(title).raw(" <span>").text(remark);
    html.raw("</span></figcaption>\n<div class=\"wide\" tabindex=\"0\">\n");
    chart.shading(away).marks(alerts).draw(html.buffer(), title + " over the run");
    html.raw("</div>\n</figure>\n");
  }

  private void transfers() {
    html.section("transfers", "Transfers through the glass");
    List<Transfers.Window> all = Transfers.find(run, time);
    if (all.isEmpty()) {
      html.raw(
          "<p>The tie never moved and the emergency panel's voltage never left nominal.</p>\n");
    } else {
      html.raw(
          "<p class=\"quiet\">Milliseconds from the first event of each window. Numbers above a plot are the events below it.</p>\n");
      for (Transfers.Window window : Transfers.choose(all, MOST_WINDOWS)) {
        Transfers.draw(html, run, window);
      }
      rest(all.size(), MOST_WINDOWS, "windows are not drawn; their rows are in trace.csv");
    }
    html.raw("</section>\n");
  }

  private void excursions() {
    List<VoltageExcursion> all = run.excursions();
    html.section("excursions", "Voltage tolerance at the emergency panel");
    html.raw(
        "<p class=\"quiet\">Each excursion as a point: how long it lasted and how far the voltage went, against the ITI (CBEMA) curve. RMS values; the curve's part below half a cycle is left out.</p>\n");
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    IticPlot.draw(html.buffer(), all);
    html.raw("</div>\n</figure>\n");
    if (all.isEmpty()) {
      html.raw("<p>No excursion in this run.</p>\n");
    } else {
      html.raw(
          "<table><thead><tr><th class=\"n tag\">No.</th><th>Start</th><th class=\"n\">Lasted, went to</th><th class=\"tag\">Envelope</th></tr></thead><tbody>\n");
      for (int i = 0; i < Math.min(MOST_ROWS, all.size()); i++) {
        excursion(i + 1, all.get(i));
      }
      html.raw("</tbody></table>\n");
      rest(all.size(), MOST_ROWS, "are drawn, but not listed");
    }
    html.raw("</section>\n");
  }

  private void excursion(int number, VoltageExcursion excursion) {
    html.raw("<tr>").element("td class=\"n\"", Integer.toString(number));
    html.raw("<td>").text(time.stamp(excursion.startMicros()));
    if (!excursion.note().isEmpty()) {
      html.element("small", excursion.note());
    }
    html.raw("</td>");
    html.raw("<td class=\"n\">").text(Num.duration(excursion.durationS())).raw("<br/>");
    html.text(Num.fixed(excursion.voltagePu(), 3)).raw("\u00a0pu</td><td>");
    html.element(
        excursion.insideItic() ? "span class=\"word\"" : "span class=\"word bad\"",
        excursion.insideItic() ? "Inside" : "Outside");
    html.raw("</td></tr>\n");
  }

  private void energy() {
    html.section("energy", "Energy ledger");
    EnergyLedger ledger = EnergyLedger.of(result.energy());
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    EnergyBars.draw(html.buffer(), ledger);
    html.raw(
        "</div>\n</figure>\n<table><thead><tr><th>Flow</th><th class=\"n\">kWh</th><th class=\"n\">Share</th></tr></thead><tbody>\n");
    flows(ledger.in(), "Came in", ledger.totalIn());
    flows(ledger.out(), "Went to", ledger.totalOut());
    html.raw("<tr><td>In less out</td>");
    html.element("td class=\"n\"", Num.fixed(ledger.totalIn() - ledger.totalOut(), 4));
    html.raw("<td></td></tr>\n");
    for (EnergyLedger.Flow flow : ledger.beside()) {
      html.raw("<tr>").element("td", flow.name() + " (beside the books)");
      html.element("td class=\"n\"", Num.fixed(flow.kWh(), 3)).raw("<td></td></tr>\n");
    }
    html.raw("</tbody></table>\n");
    List<RunResult.Entry> other = PerformanceTable.write(html, ledger.other());
    if (!other.isEmpty()) {
      html.raw("<table><caption>Other figures</caption><tbody>\n");
      entries(other);
      html.raw("</tbody></table>\n");
    }
    html.raw("</section>\n");
  }

  private void flows(List<EnergyLedger.Flow> flows, String name, double total) {
    for (EnergyLedger.Flow flow : flows) {
      html.raw("<tr>").element("td", flow.name());
      html.element("td class=\"n\"", Num.fixed(flow.kWh(), 3));
      html.element("td class=\"n\"", total > 0 ? EnergyBars.share(flow.kWh(), total) : Num.NONE);
      html.raw("</tr>\n");
    }
    html.raw("<tr class=\"total\">").element("td", name);
    html.element("td class=\"n\"", Num.fixed(total, 3)).raw("<td></td></tr>\n");
  }

  private void bill() {
    html.section("bill", "Bill");
    if (result.cost().isEmpty()) {
      html.raw("<p>No costs were reckoned.</p>\n</section>\n");
      return;
    }
    BillTables.write(html, run, time);
    html.raw("</section>\n");
  }

  /** Entries with the unit, which their name ends with, behind the value. */
  private void entries(List<RunResult.Entry> entries) {
    for (RunResult.Entry entry : entries) {
      String unit = unit(entry.name());
      int length = entry.name().length() - (unit.isEmpty() ? 0 : unit.length() + 1);
      String name = entry.name().substring(0, length);
      int decimals = unit.equals(run.site().tariff().currency()) ? 2 : 3;
      html.raw(name.startsWith("total") ? "<tr class=\"total\">" : "<tr>");
      html.element("td", Words.of(name)).raw("<td class=\"n\">");
      html.text(Num.fixed(entry.value(), decimals)).text(unit.isEmpty() ? "" : "\u00a0" + unit);
      html.raw("</td></tr>\n");
    }
  }

  /** The last part of a name when it is a unit: those hold a capital letter, words do not. */
  private static String unit(String name) {
    String last = name.substring(name.lastIndexOf('_') + 1);
    boolean word = last.length() == name.length() || last.equals(last.toLowerCase(Locale.ROOT));
    return word ? "" : last;
  }

  private void alarms() {
    html.section("alarms", "Alarms");
    List<RunResult.AlarmEntry> all = result.alarms();
    if (all.isEmpty()) {
      html.raw("<p>No alarm rang.</p>\n</section>\n");
      return;
    }
    html.raw(
        "<table><thead><tr><th class=\"when\">Time and priority</th><th>What it means, and what to do</th></tr></thead><tbody>\n");
    for (RunResult.AlarmEntry alarm : all.subList(0, Math.min(MOST_ROWS, all.size()))) {
      html.raw("<tr><td class=\"when\">")
          .text(time.stamp(CivilTime.instant(run, alarm.atSeconds())))
          .raw("<br/>");
      priority(alarm.priority());
      html.raw("</td><td><b>")
          .text(alarm.text())
          .raw("</b> <span class=\"quiet\">")
          .text(alarm.id());
      html.raw("</span><span class=\"why\">What follows: ")
          .text(alarm.consequence())
          .raw("</span>");
      html.raw("<span>To do: ").text(alarm.action()).raw("</span></td></tr>\n");
    }
    html.raw("</tbody></table>\n");
    rest(all.size(), MOST_ROWS, "alarms stand in verdict.json");
    html.raw("</section>\n");
  }

  private void priority(String priority) {
    String look = "word";
    if (priority.equals(AlarmPriority.HIGH.name())) {
      look = "word bad";
    } else if (priority.equals(AlarmPriority.MEDIUM.name())) {
      look = "word warn";
    }
    html.element("span class=\"" + look + "\"", Words.of(priority));
  }

  private void events() {
    html.section("events", "Sequence of events");
    List<EventLog.Row> all = run.events().rows();
    html.raw(
        "<table><thead><tr><th class=\"when\">Time</th><th class=\"when\">Source, kind</th><th>Change and reason</th></tr></thead><tbody>\n");
    for (EventLog.Row row : all.subList(0, Math.min(MOST_EVENTS, all.size()))) {
      html.raw("<tr>").element("td class=\"when\"", time.stamp(row.micros()));
      html.raw("<td><b>").text(row.source()).raw("</b> <span class=\"quiet\">").text(row.kind());
      html.raw("</span></td><td>").text(Transfers.change(row));
      if (!row.reason().isEmpty()) {
        html.element("span class=\"why\"", row.reason());
      }
      html.raw("</td></tr>\n");
    }
    html.raw("</tbody></table>\n");
    rest(all.size(), MOST_EVENTS, "events stand in events.csv");
    html.raw("</section>\n");
  }

  private void cautions() {
    html.section("cautions", "Cautions of this run");
    if (result.cautions().isEmpty()) {
      html.raw("<p>None beyond those at the head of this page.</p>\n</section>\n");
      return;
    }
    html.raw("<ul>\n");
    for (String caution : result.cautions()) {
      html.element("li", caution).raw("\n");
    }
    html.raw("</ul>\n</section>\n");
  }

  private void settings() {
    html.section("settings", "Settings and scenario");
    SettingsTables.write(html, run.site());
    html.raw("<h3>Scenario as resolved</h3>\n")
        .element("pre", run.scenarioYaml())
        .raw("\n</section>\n");
  }

  /** When the utility was dead; spans that no eye could tell apart are one. */
  private static List<long[]> utilityAway(Trace trace, TimeAxis axis) {
    List<long[]> spans = new ArrayList<>();
    for (int row = 0; row < trace.rows(); row++) {
      if (trace.value(row, Signal.UTILITY_LIVE) == 0) {
        long from = trace.micros(row);
        long until = row + 1 < trace.rows() ? trace.micros(row + 1) : axis.to();
        long[] last = spans.isEmpty() ? NEVER : spans.get(spans.size() - 1);
        if (last.length > 0 && axis.x(from) - axis.x(last[1]) < 1) {
          last[1] = until;
        } else {
          spans.add(new long[] {from, until});
        }
      }
    }
    return spans;
  }

  private List<SvgChart.Mark> violations() {
    List<SvgChart.Mark> marks = new ArrayList<>();
    for (RunResult.HazardVerdict hazard : result.hazards()) {
      if (hazard.verdict() == Outcome.FAIL && hazard.firstAtSeconds() >= 0) {
        marks.add(
            new SvgChart.Mark(CivilTime.instant(run, hazard.firstAtSeconds()), hazard.id(), true));
      }
    }
    marks.sort(Comparator.comparingLong(SvgChart.Mark::micros));
    return marks.subList(0, Math.min(MOST_MARKS, marks.size()));
  }
}
