package islet.bench;

import java.util.List;
import java.util.stream.Stream;

/** The signals that an expectation may name, by what kind of value they have. */
final class SignalNames {
  static final List<String> NUMBERS =
      List.of(
          "utility.voltage_pu",
          "utility.frequency_Hz",
          "pcc.power_W",
          "main.voltage_pu",
          "critical.voltage_pu",
          "critical.power_W",
          "noncritical.power_W",
          "pv.available_W",
          "pv.power_W",
          "bus.voltage_V",
          "battery.voltage_V",
          "battery.current_A",
          "battery.soc",
          "battery.temperature_C",
          "inverter.power_W",
          "supervisor.reserve_soc",
          "price.import",
          "price.export");

  static final List<String> FLAGS = List.of("utility.live", "tie.closed");

  static final List<String> WORDS =
      List.of("regulator.stage", "inverter.state", "supervisor.mode", "supervisor.stage");

  static final List<String> ALL = Stream.of(NUMBERS, FLAGS, WORDS).flatMap(List::stream).toList();

  /** The values of {@code supervisor.mode}. */
  static final List<String> MODES =
      List.of("STARTING", "GRID_PRESENT", "ISLANDING", "ISLANDED", "RECONNECTING", "DARK", "HELD");

  private SignalNames() {}
}
