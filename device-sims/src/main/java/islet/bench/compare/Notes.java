package islet.bench.compare;

import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.contract.Decimal;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Collectors;

/** What a reader must know before comparing. */
final class Notes {

  /** A difference of what the batteries kept that shows in the bill, kWh. */
  private static final double STORE_KWH = 0.05;

  private final List<Column> columns;
  private final List<String> notes = new ArrayList<>();

  private Notes(List<Column> columns) {
    this.columns = columns;
  }

  static List<String> of(List<Column> columns, String version) {
    Notes all = new Notes(columns);
    all.failures();
    all.lengths();
    all.same("sites", RunResult::site);
    all.same("seeds", result -> Long.toString(result.seed()));
    all.currencies();
    all.stores();
    all.stopped();
    all.versions(version);
    return all.notes;
  }

  private void failures() {
    for (Column column : columns) {
      if (!column.result().passed()) {
        String what =
            column.result().hazards().stream()
                .filter(h -> h.verdict() == Outcome.FAIL)
                .map(RunResult.HazardVerdict::id)
                .collect(Collectors.joining(", "));
        notes.add(
            column.label()
                + " failed its verdict"
                + (what.isEmpty() ? " by an expectation." : ": " + what + ".")
                + " Its figures are those of a run that must not be copied.");
      }
    }
  }

  private void lengths() {
    if (columns.stream().map(c -> c.result().simulatedSeconds()).distinct().count() > 1) {
      notes.add(
          "The runs are not equally long ("
              + columns.stream()
                  .map(
                      c ->
                          c.label()
                              + " "
                              + Decimal.text(c.result().simulatedSeconds() / 3600, 2)
                              + " h")
                  .collect(Collectors.joining(", "))
              + "): energy and cost do not compare as they stand.");
    }
  }

  private void same(String what, Function<RunResult, String> value) {
    List<String> values = columns.stream().map(c -> value.apply(c.result())).distinct().toList();
    if (values.size() > 1) {
      notes.add("The runs have different " + what + ": " + String.join(", ", values) + ".");
    }
  }

  private void currencies() {
    List<String> currencies =
        columns.stream()
            .map(c -> Entries.currency(c.result().cost()))
            .filter(c -> !c.isEmpty())
            .distinct()
            .toList();
    if (currencies.size() > 1) {
      notes.add(
          "The bills are in "
              + String.join(" and ", currencies)
              + "; nothing is converted, each stands in lines of its own.");
    }
  }

  /** What a battery kept or gave is energy that the bill does not show. */
  private void stores() {
    List<Double> changes =
        columns.stream().map(c -> Entries.value(c.result().energy(), "stored_change_kWh")).toList();
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (double change : changes) {
      if (Double.isFinite(change)) {
        least = Math.min(least, change);
        most = Math.max(most, change);
      }
    }
    if (most - least > STORE_KWH) {
      notes.add(
          "The batteries' stores did not change alike, by up to "
              + Decimal.text(most - least, 2)
              + " kWh: the bill of a run that ends emptier leaves out what filling up again will"
              + " cost.");
    }
  }

  private void stopped() {
    for (Column column : columns) {
      column.result().cautions().stream()
          .filter(caution -> caution.startsWith("This run was stopped"))
          .forEach(caution -> notes.add(column.label() + ": " + caution));
    }
  }

  private void versions(String version) {
    for (Column column : columns) {
      String other = column.result().version();
      if (!other.equals(version)) {
        notes.add(
            column.label()
                + " was run by version "
                + other
                + ", this is "
                + version
                + ": a difference may be the version's. Run it again with rehearse and the"
                + " scenario.yaml of its folder.");
      }
    }
  }
}
