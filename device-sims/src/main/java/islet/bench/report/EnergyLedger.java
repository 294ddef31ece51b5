package islet.bench.report;

import islet.bench.RunResult;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/**
 * The run's energy entries, sorted into what came in, what it became, and what stands beside the
 * books. The books are the site's, closed at the meter and at the array's terminals. An entry is
 * known by its name without case, separators and unit: {@code inverter_loss_kWh} and {@code
 * inverterLoss_kWh} are the same. Names that are not known here are shown as they are and counted
 * on neither side.
 *
 * @param in sources, each with a positive value
 * @param out uses, losses and what the battery kept
 * @param beside energies that are no part of the balance, such as what was curtailed, what passed
 *     through a part, and what happened on the utility's side of the meter
 * @param other entries that are no energies, or not known
 */
record EnergyLedger(List<Flow> in, List<Flow> out, List<Flow> beside, List<RunResult.Entry> other) {

  /**
   * One flow of energy.
   *
   * @param loss turned into heat, or lost as gas
   */
  record Flow(String name, double kWh, boolean loss) {}

  private static final String UNIT = "_kWh";

  /** Sorts the entries. */
  static EnergyLedger of(List<RunResult.Entry> entries) {
    EnergyLedger ledger =
        new EnergyLedger(
            new ArrayList<>(), new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
    for (RunResult.Entry entry : entries) {
      if (entry.name().endsWith(UNIT) && Double.isFinite(entry.value())) {
        ledger.sort(entry);
      } else {
        ledger.other.add(entry);
      }
    }
    // What served somebody first, what was lost after it.
    ledger.out.sort(Comparator.comparing(Flow::loss));
    return ledger;
  }

  private void sort(RunResult.Entry entry) {
    double value = entry.value();
    switch (key(entry)) {
      case "pv" -> in.add(new Flow("PV array", value, false));
      case "import" -> in.add(new Flow("Utility, import", value, false));
      case "critical" -> out.add(new Flow("Critical loads", value, false));
      case "noncritical" -> out.add(new Flow("Non-critical loads", value, false));
      case "export" -> out.add(new Flow("Utility, export", value, false));
      case "storedchange" -> {
        if (value < 0) {
          in.add(new Flow("Battery, drawn from store", -value, false));
        } else {
          out.add(new Flow("Battery, kept in store", value, false));
        }
      }
      case "regulatorloss",
          "chargerloss",
          "batteryohmicloss",
          "batterygasloss",
          "batteryselfdischarge",
          "batterymixingloss",
          "batteryfadeloss",
          "cableloss",
          "inverterloss",
          "inverteridle" ->
          out.add(new Flow(Words.of(bare(entry)), value, true));
      case "pvavailable" -> beside.add(new Flow("PV available", value, false));
      case "curtailed" -> beside.add(new Flow("PV curtailed", value, false));
      case "unservedcritical" -> beside.add(new Flow("Critical, unserved", value, false));
      case "unservednoncritical" -> beside.add(new Flow("Non-critical, unserved", value, false));
      case "batteryin" -> beside.add(new Flow("Through the battery, in", value, false));
      case "batteryout" -> beside.add(new Flow("Through the battery, out", value, false));
      case "invertertoac" -> beside.add(new Flow("Inverter to AC", value, false));
      case "inverterfromac" -> beside.add(new Flow("Inverter from AC", value, false));
      case "chargerfromac" -> beside.add(new Flow("Charger from AC", value, false));
      // On the utility's side of the meter.
      case "utilitysource" -> beside.add(new Flow("Utility's source", value, false));
      case "serviceloss" -> beside.add(new Flow("Service drop loss", value, false));
      case "lineload" -> beside.add(new Flow("Neighbours on the line", value, false));
      default -> other.add(entry);
    }
  }

  /** The sum of what came in, kWh. */
  double totalIn() {
    return total(in);
  }

  /** The sum of what it became, kWh. */
  double totalOut() {
    return total(out);
  }

  private static double total(List<Flow> flows) {
    double sum = 0;
    for (Flow flow : flows) {
      sum += flow.kWh();
    }
    return sum;
  }

  private static String bare(RunResult.Entry entry) {
    String name = entry.name();
    return name.endsWith(UNIT) ? name.substring(0, name.length() - UNIT.length()) : name;
  }

  private static String key(RunResult.Entry entry) {
    String name = bare(entry);
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < name.length(); i++) {
      if (Character.isLetterOrDigit(name.charAt(i))) {
        out.append(name.charAt(i));
      }
    }
    return out.toString().toLowerCase(Locale.ROOT);
  }
}
