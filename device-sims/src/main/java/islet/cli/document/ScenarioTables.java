package islet.cli.document;

import islet.bench.RunResult.HazardVerdict;
import islet.bench.Signal;
import islet.contract.AlarmId;
import islet.fault.FaultKind;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** What a scenario may name: signals, faults, alarms, hazards. */
final class ScenarioTables {

  private ScenarioTables() {}

  /** Every signal with its values and its meaning. */
  static String signals() {
    StringBuilder out = new StringBuilder();
    out.append("| signal | values | meaning |\n| --- | --- | --- |\n");
    for (Signal signal : Signal.all()) {
      out.append("| `").append(signal.label()).append("` | ");
      out.append(
          signal.words().isEmpty()
              ? "number, " + signal.decimals() + " decimals in the trace"
              : "`" + String.join("`, `", signal.words()) + "`");
      out.append(" | ").append(meaning(signal)).append(" |\n");
    }
    return out.toString();
  }

  private static String meaning(Signal signal) {
    return switch (signal) {
      case UTILITY_VOLTAGE -> "voltage on the utility's line, upstream of the service";
      case UTILITY_FREQUENCY -> "frequency on that line";
      case UTILITY_LIVE -> "whether the utility's own source stands behind the line";
      case PCC_POWER -> "power at the point of common coupling; import positive, export negative";
      case MAIN_VOLTAGE -> "voltage at the main panel";
      case CRITICAL_VOLTAGE -> "voltage at the emergency panel";
      case CRITICAL_POWER -> "power of the critical circuits";
      case NONCRITICAL_POWER -> "power of the non-critical circuits";
      case TIE_CLOSED -> "where the tie's main contacts truly are";
      case PV_AVAILABLE -> "the most that the array could give now";
      case PV_POWER -> "what is taken from the array";
      case BUS_VOLTAGE -> "voltage of the DC bus";
      case BATTERY_VOLTAGE -> "voltage at the battery's terminals";
      case BATTERY_CURRENT -> "current into the battery; discharge negative";
      case BATTERY_SOC -> "state of charge, 0 to 1, as it truly is";
      case BATTERY_TEMPERATURE -> "temperature of the battery";
      case REGULATOR_STAGE -> "the charge stage in which the regulator works";
      case INVERTER_STATE -> "what the inverter does";
      case INVERTER_POWER -> "AC power of the inverter into the panels; charging negative";
      case SUPERVISOR_MODE -> "the mode as the supervisor tells it on the wire";
      case SUPERVISOR_STAGE -> "the charge stage as the supervisor tells it";
      case SUPERVISOR_RESERVE -> "the reserve in force, 0 to 1, as the supervisor tells it";
      case PRICE_IMPORT -> "price of imported energy, in the tariff's currency per kWh";
      case PRICE_EXPORT -> "credit for exported energy, the same";
      case SUPERVISOR_SOC ->
          "state of charge as the supervisor counts it; before it first tells, as it truly is";
      case SUPERVISOR_VOLTAGE_SOC ->
          "what the battery's voltage alone would make of it, as if it rested; likewise";
    };
  }

  /** Every kind of fault: what breaks, where, and what it needs to be told. */
  static String faults() {
    StringBuilder out = new StringBuilder();
    out.append("| kind | what breaks | device | also needs |\n| --- | --- | --- | --- |\n");
    for (FaultKind kind : FaultKind.values()) {
      out.append("| `").append(word(kind)).append("` | ").append(kind.effect());
      out.append(" | ").append(String.join(", ", kind.devices()));
      out.append(" | ").append(needs(kind)).append(" |\n");
    }
    return out.toString();
  }

  /** Which signals each device measures, where sensor faults bite. */
  static String sensors() {
    StringBuilder out = new StringBuilder();
    out.append("| device | signals |\n| --- | --- |\n");
    for (FaultKind.Target target : FaultKind.SENSOR_BIAS.targets()) {
      out.append("| `").append(target.device()).append("` | `");
      out.append(String.join("`, `", target.signals())).append("` |\n");
    }
    return out.toString();
  }

  private static String needs(FaultKind kind) {
    List<String> needs = new ArrayList<>();
    if (kind.devices().size() > 1) {
      needs.add("`device`");
    }
    if (kind.targets().stream().anyMatch(t -> !t.signals().isEmpty())) {
      needs.add("`signal`");
    }
    for (FaultKind.Parameter parameter : kind.parameters()) {
      needs.add("`" + parameter.name() + "`: " + parameter.meaning());
    }
    if (!kind.claims().isEmpty()) {
      needs.add("`as`: one of " + String.join(", ", kind.claims()));
    }
    return needs.isEmpty() ? "–" : String.join("; ", needs);
  }

  /** Every alarm: what it means, what follows, what to do. */
  static String alarms() {
    StringBuilder out = new StringBuilder();
    out.append("| alarm | priority | what is wrong | what follows | what to do |\n");
    out.append("| --- | --- | --- | --- | --- |\n");
    for (AlarmId alarm : AlarmId.values()) {
      out.append("| `").append(word(alarm)).append("` | ").append(lower(alarm.priority()));
      out.append(" | ").append(alarm.text());
      out.append(" | ").append(alarm.consequence());
      out.append(" | ").append(alarm.action()).append(" |\n");
    }
    return out.toString();
  }

  /** The hazards as a run lists them. */
  static String hazards(List<HazardVerdict> hazards) {
    StringBuilder out = new StringBuilder();
    out.append("| id | hazard | margin in |\n| --- | --- | --- |\n");
    for (HazardVerdict hazard : hazards) {
      out.append("| `").append(hazard.id()).append("` | ").append(hazard.title());
      out.append(" | ").append(hazard.unit()).append(" |\n");
    }
    return out.toString();
  }

  private static String word(Enum<?> constant) {
    return lower(constant).replace('_', '-');
  }

  private static String lower(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
