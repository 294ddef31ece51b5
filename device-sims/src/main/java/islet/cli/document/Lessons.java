package islet.cli.document;

import islet.bench.Rehearsal;
import islet.bench.RunRecord;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Signal;
import islet.bench.report.OneLine;
import islet.bench.report.RunPicture;
import islet.bench.report.RunPicture.Line;
import islet.bench.report.RunPicture.Panel;
import islet.contract.Decimal;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;

/** The lessons of docs/lessons: their runs, pictures and figures. */
final class Lessons {

  private static final double PERCENT = 100;

  private static final List<Lesson> ALL =
      List.of(
          new Lesson(
              "standalone",
              List.of("lesson-standalone"),
              "Dark days at the beacon: state of charge, battery voltage, array and loads",
              runs ->
                  List.of(
                      charge("State of charge", runs.get(0)),
                      new Panel(
                          "Battery voltage",
                          runs.get(0),
                          "V",
                          11,
                          14.5,
                          List.of(new Line("Battery", Signal.BATTERY_VOLTAGE, 1))),
                      new Panel(
                          "Array and loads",
                          runs.get(0),
                          "W",
                          0,
                          60,
                          List.of(
                              new Line("Loads", Signal.CRITICAL_POWER, 1),
                              new Line("PV", Signal.PV_POWER, 1))))),
          new Lesson(
              "charger-only",
              List.of("lesson-charger-only", "lesson-charger-only-passed-through"),
              "One load of 1.5 kW: what the utility gives through two conversions and passed"
                  + " through",
              runs ->
                  List.of(
                      supply("Charger only: through two conversions", runs.get(0), 1400, 1900),
                      supply("Grid-interactive: passed through", runs.get(1), 1400, 1900))),
          new Lesson(
              "changeover",
              List.of(
                  "lesson-changeover",
                  "lesson-changeover-battery-first",
                  "lesson-grid-interactive"),
              "A full battery in June: what the array could give and what is taken, three ways",
              runs ->
                  List.of(
                      array("Changeover, loads on the utility", runs.get(0)),
                      array("Changeover, loads rather on the battery", runs.get(1)),
                      array("Grid-interactive, for comparison", runs.get(2)))),
          new Lesson(
              "inverter-charger",
              List.of("lesson-inverter-charger"),
              "Pass through, then carry: array, loads and utility around an outage",
              runs ->
                  List.of(
                      array("The array waits while the utility passes through", runs.get(0)),
                      flows("Loads, inverter and utility", runs.get(0)))),
          new Lesson(
              "grid-interactive",
              List.of("lesson-grid-interactive", "lesson-inverter-charger"),
              "Beside the utility: array, inverter and utility, with and without feeding",
              runs ->
                  List.of(
                      flows("Grid-interactive: surplus is exported", runs.get(0)),
                      flows("Inverter and charger: nothing is fed", runs.get(1)))),
          new Lesson(
              "two-panel",
              List.of("lesson-two-panel"),
              "Two panels around an outage: voltages of both, and where the power goes",
              runs ->
                  List.of(
                      new Panel(
                          "Voltages, per unit of nominal",
                          runs.get(0),
                          "pu",
                          0,
                          1.1,
                          List.of(
                              new Line("Emergency", Signal.CRITICAL_VOLTAGE, 1),
                              new Line("Main", Signal.MAIN_VOLTAGE, 1))),
                      new Panel(
                          "Loads on both panels, and the utility (import positive)",
                          runs.get(0),
                          "W",
                          0,
                          0,
                          List.of(
                              new Line("Critical", Signal.CRITICAL_POWER, 1),
                              new Line("Utility", Signal.PCC_POWER, 1),
                              new Line("Non-critical", Signal.NONCRITICAL_POWER, 1),
                              new Line("Inverter", Signal.INVERTER_POWER, 1))))),
          new Lesson(
              "charge-coordination",
              List.of("lesson-chargers-alone", "lesson-chargers-coordinated"),
              "Two chargers on one battery: its current and charge, alone and coordinated",
              runs ->
                  List.of(
                      new Panel(
                          "Each by itself: battery current (the battery's limit is 80 A)",
                          runs.get(0),
                          "A",
                          0,
                          95,
                          List.of(new Line("Battery", Signal.BATTERY_CURRENT, 1))),
                      new Panel(
                          "Coordinated: battery current",
                          runs.get(1),
                          "A",
                          0,
                          95,
                          List.of(new Line("Battery", Signal.BATTERY_CURRENT, 1))),
                      array("Each by itself: array", runs.get(0)),
                      array("Coordinated: array", runs.get(1)))),
          new Lesson(
              "price-schedules",
              List.of("lesson-prices-wait", "lesson-prices-reserve"),
              "A stormy night: state of charge and price, waiting for cheap power and with a"
                  + " reserve",
              runs ->
                  List.of(
                      charge("Waiting for cheap power: reserve 30 %", runs.get(0)),
                      charge("Paying for a reserve: 80 %", runs.get(1)),
                      new Panel(
                          "Price of imported energy",
                          runs.get(0),
                          "USD/kWh",
                          0,
                          0.4,
                          List.of(new Line("Import", Signal.PRICE_IMPORT, 1))))));

  private final Path config;
  private final Map<String, RunRecord> runs = new LinkedHashMap<>();

  /** Lessons whose scenarios lie in this configuration. */
  Lessons(Path config) {
    this.config = config;
  }

  private static Panel charge(String caption, RunRecord run) {
    return new Panel(
        caption,
        run,
        "%",
        0,
        PERCENT,
        List.of(
            new Line("Charge", Signal.BATTERY_SOC, PERCENT),
            new Line("Reserve", Signal.SUPERVISOR_RESERVE, PERCENT)));
  }

  private static Panel array(String caption, RunRecord run) {
    return new Panel(
        caption,
        run,
        "W",
        0,
        0,
        List.of(
            new Line("Taken", Signal.PV_POWER, 1), new Line("Available", Signal.PV_AVAILABLE, 1)));
  }

  private static Panel supply(String caption, RunRecord run, double low, double high) {
    return new Panel(
        caption,
        run,
        "W",
        low,
        high,
        List.of(
            new Line("Utility", Signal.PCC_POWER, 1), new Line("Load", Signal.CRITICAL_POWER, 1)));
  }

  private static Panel flows(String caption, RunRecord run) {
    return new Panel(
        caption,
        run,
        "W",
        0,
        0,
        List.of(
            new Line("Utility", Signal.PCC_POWER, 1),
            new Line("PV", Signal.PV_POWER, 1),
            new Line("Loads", Signal.CRITICAL_POWER, 1),
            new Line("Inverter", Signal.INVERTER_POWER, 1)));
  }

  private RunRecord run(String name) {
    return runs.computeIfAbsent(name, n -> new Rehearsal(scenario(n)).run(done -> {}).record(""));
  }

  private Scenario scenario(String name) {
    Path file = config.resolve("scenarios").resolve(name + ".yaml");
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  /** All lessons. */
  static List<Lesson> all() {
    return ALL;
  }

  /** The picture that answers a lesson's question. */
  String picture(Lesson lesson) {
    return RunPicture.panels(
        lesson.title(), lesson.panels().apply(lesson.scenarios().stream().map(this::run).toList()));
  }

  /** The one-line diagram of the site of a lesson's first scenario. */
  String diagram(Lesson lesson) {
    // As its file has it, without what the scenario sets for the lesson's sake.
    return OneLine.svg(SiteReader.read(scenario(lesson.scenarios().get(0)).siteFile()));
  }

  /** Where the energy went, a column for each scenario, in kWh; rows of nothing are left out. */
  String figures(Lesson lesson) {
    List<RunResult> results = lesson.scenarios().stream().map(name -> run(name).result()).toList();
    StringBuilder out = new StringBuilder("| kWh |");
    StringBuilder line = new StringBuilder("| --- |");
    for (String name : lesson.scenarios()) {
      out.append(" [").append(name).append("](../../config/scenarios/").append(name);
      out.append(".yaml) |");
      line.append(" ---: |");
    }
    out.append('\n').append(line).append('\n');
    row(out, results, "the array could give", "pv_available");
    row(out, results, "taken from the array", "pv");
    row(out, results, "curtailed", "curtailed");
    row(out, results, "imported", "import");
    row(out, results, "exported", "export");
    row(out, results, "critical loads", "critical");
    row(out, results, "non-critical loads", "noncritical");
    row(out, results, "critical, wanted and not served", "unserved_critical");
    row(out, results, "non-critical, wanted and not served", "unserved_noncritical");
    row(out, results, "lost in the regulator", "regulator_loss");
    row(out, results, "lost in the charger", "charger_loss");
    row(out, results, "lost in the inverter, converting", "inverter_loss");
    row(out, results, "lost in the inverter, idle", "inverter_idle");
    row(out, results, "change of the battery's store", "stored_change");
    if (results.stream().anyMatch(r -> cost(r) != 0)) {
      out.append("| bill, ").append("USD |");
      results.forEach(r -> out.append(' ').append(Decimal.text(cost(r), 2)).append(" |"));
      out.append('\n');
    }
    return out.toString();
  }

  private static void row(StringBuilder out, List<RunResult> results, String name, String flow) {
    List<Double> values = new ArrayList<>();
    for (RunResult result : results) {
      values.add(value(result.energy(), flow + "_kWh"));
    }
    if (values.stream().allMatch(v -> Math.abs(v) < 0.005)) {
      return;
    }
    out.append("| ").append(name).append(" |");
    values.forEach(v -> out.append(' ').append(Decimal.text(v, 2)).append(" |"));
    out.append('\n');
  }

  private static double cost(RunResult result) {
    return value(result.cost(), "total_USD");
  }

  private static double value(List<RunResult.Entry> entries, String name) {
    return entries.stream()
        .filter(e -> e.name().equals(name))
        .findFirst()
        .map(RunResult.Entry::value)
        .orElse(0.0);
  }

  /** When each mode began, by the time of the run, for each scenario. */
  String modes(Lesson lesson) {
    StringBuilder out = new StringBuilder();
    for (String name : lesson.scenarios()) {
      out.append("`").append(name).append("`: ");
      List<String> steps = new ArrayList<>();
      for (RunResult.Transition t : run(name).result().transitions()) {
        steps.add(t.to() + " at " + clock(t.atSeconds()));
      }
      out.append(String.join(", ", steps)).append(".\n\n");
    }
    return out.toString().strip() + "\n";
  }

  private static String clock(double seconds) {
    // A thousandth more, so that a tenth that is not exact in binary is not cut to the one before.
    long tenths = (long) Math.floor(seconds * 10 + 0.001);
    return tenths / 36_000
        + ":"
        + two(tenths / 600 % 60)
        + ":"
        + two(tenths / 10 % 60)
        + "."
        + tenths % 10;
  }

  private static String two(long number) {
    return number < 10 ? "0" + number : Long.toString(number);
  }
}
