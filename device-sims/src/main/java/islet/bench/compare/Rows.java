package islet.bench.compare;

import islet.bench.Bill;
import islet.bench.RunResult;
import islet.bench.RunResult.Entry;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.bench.compare.Comparison.Group;
import islet.contract.AlarmPriority;
import islet.contract.Mode;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.function.ToDoubleFunction;
import java.util.stream.Collectors;

/** Which lines a comparison has. */
final class Rows {

  /** A flow of the ledger, or several that belong together. */
  private record Energy(String name, boolean always, List<String> entries) {
    static Energy always(String name, String entry) {
      return new Energy(name, true, List.of(entry));
    }

    static Energy whenThere(String name, String... entries) {
      return new Energy(name, false, List.of(entries));
    }
  }

  private static final List<String> BATTERY_LOSSES =
      List.of(
          "battery_ohmic_loss_kWh",
          "battery_gas_loss_kWh",
          "battery_self_discharge_kWh",
          "battery_mixing_loss_kWh");

  private static final List<Energy> ENERGY =
      List.of(
          Energy.always("PV available", "pv_available_kWh"),
          Energy.always("PV used", "pv_kWh"),
          Energy.always("PV curtailed", "curtailed_kWh"),
          Energy.always("Import", "import_kWh"),
          Energy.always("Export", "export_kWh"),
          Energy.always("Critical loads served", "critical_kWh"),
          Energy.always("Critical loads unserved", "unserved_critical_kWh"),
          Energy.always("Non-critical served", "noncritical_kWh"),
          Energy.always("Non-critical unserved", "unserved_noncritical_kWh"),
          new Energy("Losses", true, losses()),
          Energy.whenThere("  regulator", "regulator_loss_kWh"),
          Energy.whenThere("  charger", "charger_loss_kWh"),
          new Energy("  battery", false, BATTERY_LOSSES),
          Energy.whenThere("  DC cables", "cable_loss_kWh"),
          Energy.whenThere("  inverter, converting", "inverter_loss_kWh"),
          Energy.whenThere("  inverter, idle", "inverter_idle_kWh"),
          Energy.always("Into the battery", "battery_in_kWh"),
          Energy.always("Out of the battery", "battery_out_kWh"),
          Energy.always("Battery's store, change", "stored_change_kWh"));

  /** Shares are told in percent. */
  private static final List<String> SHARES =
      List.of("soc_start", "soc_end", "self_consumption", "self_sufficiency");

  private static final List<String> SHARE_NAMES =
      List.of(
          "State of charge, start", "State of charge, end", "Self-consumption", "Self-sufficiency");

  private static final List<String> YIELDS =
      List.of("reference_yield_h", "final_yield_h", "performance_ratio");
  private static final List<String> YIELD_NAMES =
      List.of("Reference yield", "Final yield", "Performance ratio");

  /** Entries that pass between parts, or stand in the table in another form. */
  private static final Set<String> LEFT_OUT =
      Set.of(
          "inverter_to_ac_kWh",
          "inverter_from_ac_kWh",
          "charger_from_ac_kWh",
          "utility_source_kWh",
          "service_loss_kWh",
          "line_load_kWh",
          "in_plane_kWh_per_m2",
          "array_yield_h");

  /** Less than this is shown as nothing. */
  private static final double UNSEEN = 0.0005;

  private final List<Column> columns;

  private Rows(List<Column> columns) {
    this.columns = columns;
  }

  private static List<String> losses() {
    List<String> losses = new ArrayList<>(BATTERY_LOSSES);
    losses.addAll(
        List.of(
            "regulator_loss_kWh",
            "charger_loss_kWh",
            "cable_loss_kWh",
            "inverter_loss_kWh",
            "inverter_idle_kWh"));
    return losses;
  }

  static List<Group> groups(List<Column> columns) {
    Rows rows = new Rows(columns);
    List<Group> groups = new ArrayList<>();
    groups.add(new Group("Verdict", rows.verdict()));
    groups.add(new Group("Energy", rows.energy()));
    groups.add(new Group("Cost", rows.cost()));
    groups.add(new Group("Performance", rows.performance()));
    groups.add(new Group("Transfers and alarms", rows.happenings()));
    groups.add(new Group("Hazards, worst margin", rows.hazards()));
    groups.add(new Group("Other figures", rows.others()));
    groups.removeIf(group -> group.rows().isEmpty());
    return groups;
  }

  private List<Row> verdict() {
    List<Row> rows = new ArrayList<>();
    rows.add(
        new Row.Words(
            "Verdict",
            columns.stream().map(c -> c.result().passed() ? "pass" : "FAIL").toList(),
            columns.stream().map(c -> !c.result().passed()).toList()));
    rows.add(
        new Row.Words(
            "Expectations met",
            columns.stream().map(c -> met(c.result())).toList(),
            columns.stream().map(c -> false).toList()));
    rows.add(figures("Simulated", "h", 2, r -> r.simulatedSeconds() / 3600));
    return rows;
  }

  private static String met(RunResult result) {
    long met = result.expectations().stream().filter(e -> e.verdict() == Outcome.PASS).count();
    return met + " of " + result.expectations().size();
  }

  private List<Row> energy() {
    List<Row> rows = new ArrayList<>();
    for (Energy energy : ENERGY) {
      Row.Figures row =
          figures(energy.name(), "kWh", 3, r -> Entries.sum(r.energy(), energy.entries()));
      if (energy.always() ? some(row) : seen(row)) {
        rows.add(row);
      }
    }
    return rows;
  }

  private List<Row> cost() {
    List<Row> rows = new ArrayList<>();
    Set<String> currencies =
        columns.stream()
            .map(c -> Entries.currency(c.result().cost()))
            .filter(currency -> !currency.isEmpty())
            .collect(Collectors.toCollection(LinkedHashSet::new));
    for (String currency : currencies) {
      cost(rows, "Import", "import_" + currency, currency);
      for (String band : bands("_import_" + currency)) {
        cost(rows, "  " + band, Bill.BAND + band + "_import_" + currency, currency);
      }
      cost(rows, "Demand", "demand_" + currency, currency);
      cost(rows, "Standing", "standing_" + currency, currency);
      cost(rows, "Export credit", "export_credit_" + currency, currency);
      cost(rows, "Total", "total_" + currency, currency);
    }
    for (String band : bands("_import_kWh")) {
      Row.Figures row =
          figures(
              "Import, " + band,
              "kWh",
              3,
              r -> Entries.value(r.cost(), Bill.BAND + band + "_import_kWh"));
      if (seen(row)) {
        rows.add(row);
      }
    }
    Row.Figures peak =
        figures("Highest interval", "kW", 3, r -> Entries.value(r.cost(), "peak_kW"));
    if (some(peak)) {
      rows.add(peak);
    }
    return rows;
  }

  private void cost(List<Row> rows, String name, String entry, String currency) {
    Row.Figures row = figures(name, currency, 2, r -> Entries.value(r.cost(), entry));
    boolean whole = name.equals("Total") || name.equals("Import");
    if (whole ? some(row) : seen(row)) {
      rows.add(row);
    }
  }

  /** The bands of all columns, in the order of their tariffs. */
  private Set<String> bands(String suffix) {
    Set<String> bands = new LinkedHashSet<>();
    for (Column column : columns) {
      for (Entry entry : column.result().cost()) {
        String name = entry.name();
        if (name.startsWith(Bill.BAND) && name.endsWith(suffix)) {
          bands.add(name.substring(Bill.BAND.length(), name.length() - suffix.length()));
        }
      }
    }
    return bands;
  }

  private List<Row> performance() {
    List<Row> rows = new ArrayList<>();
    for (int i = 0; i < SHARES.size(); i++) {
      String entry = SHARES.get(i);
      rows.add(figures(SHARE_NAMES.get(i), "%", 1, r -> 100 * Entries.value(r.energy(), entry)));
    }
    for (int i = 0; i < YIELDS.size(); i++) {
      String entry = YIELDS.get(i);
      rows.add(
          figures(
              YIELD_NAMES.get(i),
              entry.endsWith("_h") ? "h" : "",
              3,
              r -> Entries.value(r.energy(), entry)));
    }
    rows.removeIf(row -> !some((Row.Figures) row));
    return rows;
  }

  private List<Row> happenings() {
    List<Row> rows = new ArrayList<>();
    rows.add(figures("Changes of mode", "", 0, r -> r.transitions().size()));
    rows.add(figures("  onto the island", "", 0, r -> arrivals(r, Mode.ISLANDED)));
    rows.add(figures("  onto the utility", "", 0, r -> arrivals(r, Mode.GRID_PRESENT)));
    rows.add(figures("  into the dark", "", 0, r -> arrivals(r, Mode.DARK)));
    rows.add(figures("Alarms", "", 0, r -> r.alarms().size()));
    for (AlarmPriority priority : AlarmPriority.values()) {
      rows.add(
          figures(
              "  " + priority.name().toLowerCase(Locale.ROOT),
              "",
              0,
              r -> r.alarms().stream().filter(a -> a.priority().equals(priority.name())).count()));
    }
    rows.removeIf(row -> row.name().startsWith(" ") && !seen((Row.Figures) row));
    return rows;
  }

  private static double arrivals(RunResult result, Mode mode) {
    return result.transitions().stream().filter(t -> t.to().equals(mode.name())).count();
  }

  private List<Row> hazards() {
    Set<String> ids = new LinkedHashSet<>();
    columns.forEach(c -> c.result().hazards().forEach(h -> ids.add(h.id())));
    List<Row> rows = new ArrayList<>();
    for (String id : ids) {
      List<String> words = new ArrayList<>();
      List<Boolean> bad = new ArrayList<>();
      for (Column column : columns) {
        List<HazardVerdict> found =
            column.result().hazards().stream().filter(h -> h.id().equals(id)).toList();
        words.add(found.isEmpty() ? "–" : judged(found.get(0)));
        bad.add(!found.isEmpty() && found.get(0).verdict() == Outcome.FAIL);
      }
      rows.add(new Row.Words(id, words, bad));
    }
    return rows;
  }

  private static String judged(HazardVerdict hazard) {
    if (hazard.firstAtSeconds() < 0 && hazard.verdict() == Outcome.PASS) {
      return "no occasion";
    }
    String word =
        switch (hazard.verdict()) {
          case PASS -> "pass ";
          case FAIL -> "FAIL ";
          case WAIVED -> "waived ";
        };
    return word + hazard.marginText();
  }

  /** Energies that this version does not know, so that nothing is hidden. */
  private List<Row> others() {
    Set<String> known = new LinkedHashSet<>(LEFT_OUT);
    ENERGY.forEach(energy -> known.addAll(energy.entries()));
    known.addAll(SHARES);
    known.addAll(YIELDS);
    Set<String> names = new LinkedHashSet<>();
    for (Column column : columns) {
      column.result().energy().forEach(entry -> names.add(entry.name()));
    }
    names.removeAll(known);
    List<Row> rows = new ArrayList<>();
    for (String name : names) {
      rows.add(figures(name, "", 4, r -> Entries.value(r.energy(), name)));
    }
    return rows;
  }

  private Row.Figures figures(
      String name, String unit, int decimals, ToDoubleFunction<RunResult> value) {
    List<Double> values = columns.stream().map(c -> value.applyAsDouble(c.result())).toList();
    return new Row.Figures(name, unit, decimals, values);
  }

  private static boolean some(Row.Figures row) {
    return row.values().stream().anyMatch(Double::isFinite);
  }

  private static boolean seen(Row.Figures row) {
    return row.values().stream().anyMatch(v -> Math.abs(v) >= UNSEEN);
  }
}
