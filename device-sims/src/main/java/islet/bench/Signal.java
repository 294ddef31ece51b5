package islet.bench;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.Mode;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * What is recorded, expected and shown, under one name each. Truth of the plant, except the
 * supervisor's signals, which are what it says on the wire. Powers into the battery are positive;
 * {@link #PCC_POWER} is positive for import.
 */
public enum Signal {
  UTILITY_VOLTAGE("utility.voltage_pu", 4),
  UTILITY_FREQUENCY("utility.frequency_Hz", 3),
  UTILITY_LIVE("utility.live"),
  PCC_POWER("pcc.power_W", 1),
  MAIN_VOLTAGE("main.voltage_pu", 4),
  CRITICAL_VOLTAGE("critical.voltage_pu", 4),
  CRITICAL_POWER("critical.power_W", 1),
  NONCRITICAL_POWER("noncritical.power_W", 1),
  TIE_CLOSED("tie.closed"),
  PV_AVAILABLE("pv.available_W", 1),
  PV_POWER("pv.power_W", 1),
  BUS_VOLTAGE("bus.voltage_V", 3),
  BATTERY_VOLTAGE("battery.voltage_V", 3),
  BATTERY_CURRENT("battery.current_A", 2),
  BATTERY_SOC("battery.soc", 5),
  BATTERY_TEMPERATURE("battery.temperature_C", 2),
  REGULATOR_STAGE("regulator.stage", ChargeStage.values()),
  INVERTER_STATE("inverter.state", InverterState.values()),
  INVERTER_POWER("inverter.power_W", 1),
  SUPERVISOR_MODE("supervisor.mode", Mode.values()),
  SUPERVISOR_STAGE("supervisor.stage", ChargeStage.values()),
  SUPERVISOR_RESERVE("supervisor.reserve_soc", 4),
  PRICE_IMPORT("price.import", 4),
  PRICE_EXPORT("price.export", 4),
  SUPERVISOR_SOC("supervisor.soc", 4),
  SUPERVISOR_VOLTAGE_SOC("supervisor.voltage_soc", 4);

  private static final List<Signal> ALL = List.of(values());

  private final String label;
  private final int decimals;

  @SuppressWarnings("ImmutableEnumChecker") // List.of and toList give unmodifiable lists
  private final List<String> words;

  Signal(String label, int decimals) {
    this.label = label;
    this.decimals = decimals;
    this.words = List.of();
  }

  Signal(String label) {
    this.label = label;
    this.decimals = 0;
    this.words = List.of("false", "true");
  }

  Signal(String label, Enum<?>[] words) {
    this.label = label;
    this.decimals = 0;
    this.words = Arrays.stream(words).map(Enum::name).toList();
  }

  /** The name in traces, expectations and on the page; carries the unit. */
  public String label() {
    return label;
  }

  /** Digits after the point in traces. */
  public int decimals() {
    return decimals;
  }

  /** For a signal of words: the words, its value being their index. Empty for a quantity. */
  public List<String> words() {
    return words;
  }

  /** The unit as it is written behind a value; empty for words, shares and prices. */
  public String unit() {
    String suffix = label.substring(label.lastIndexOf('_') + 1);
    return switch (suffix) {
      case "pu", "Hz", "W", "V", "A" -> suffix;
      case "C" -> "°C";
      default -> "";
    };
  }

  /**
   * The signal of a name, with or without the unit: {@code battery.voltage} and {@code
   * battery.voltage_V} both name {@link #BATTERY_VOLTAGE}.
   */
  public static Optional<Signal> named(String name) {
    return ALL.stream()
        .filter(
            s ->
                s.label.equals(name)
                    || (s.label.startsWith(name + "_")
                        && s.label.lastIndexOf('_') == name.length()))
        .findFirst();
  }

  /** All signals, in the order of a trace's columns. */
  public static List<Signal> all() {
    return ALL;
  }
}
