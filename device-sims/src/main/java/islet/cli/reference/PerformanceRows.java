package islet.cli.reference;

import islet.bench.Performance;
import islet.plant.Row;
import java.util.List;

/**
 * Check R27: the figures by which installations are compared, against two ledgers worked out with
 * pencil and paper. The definitions are written down from memory of the standard.
 */
final class PerformanceRows {

  private static final String STANDARD = "IEC 61724-1, yields and performance ratio";
  private static final String COMMON = "common definition, from the energy ledger";
  private static final double SAME = 1e-9;

  /** A day: 10 kWh of PV, 4 in, 2 out, 9 used, 1 kept, so 2 lost; 4 kWh/m² on 3 kW. */
  private static final Performance DAY = new Performance(10, 4, 2, 9, 1, 4, 3);

  /** An island: 5 kWh of PV and 2 from the battery, 6 used, so 1 lost; 2.5 kWh/m² on 3 kW. */
  private static final Performance ISLAND = new Performance(5, 0, 0, 6, -2, 2.5, 3);

  private PerformanceRows() {}

  static List<Row> rows() {
    return List.of(
        // 8 of 10 kWh did not leave.
        common("self-consumption, day with export", 0.8, DAY.selfConsumption()),
        // The utility gave 4 of 9 kWh.
        common("self-sufficiency, day with export", 0.555555555556, DAY.selfSufficiency()),
        common("self-sufficiency, island", 1, ISLAND.selfSufficiency()),
        hours("reference yield, day with export", 4, DAY.referenceYieldH()),
        // 10/3 h of the array, of which 12 of 14 kWh became useful.
        hours("final yield, day with export", 2.857142857143, DAY.finalYieldH()),
        hours("final yield, island", 1.428571428571, ISLAND.finalYieldH()),
        ratio("performance ratio, day with export", 0.714285714286, DAY.performanceRatio()),
        ratio("performance ratio, island", 0.571428571429, ISLAND.performanceRatio()));
  }

  private static Row common(String check, double expected, double computed) {
    return new Row("R27", check, COMMON, false, expected, computed, SAME, "");
  }

  private static Row hours(String check, double expected, double computed) {
    return new Row("R27", check, STANDARD, true, expected, computed, SAME, "h");
  }

  private static Row ratio(String check, double expected, double computed) {
    return new Row("R27", check, STANDARD, true, expected, computed, SAME, "");
  }
}
