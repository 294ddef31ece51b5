package islet.fault;

import islet.contract.Mode;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** Every kind of fault that a scenario may ask for: where it may bite and what it needs to know. */
@SuppressWarnings("ImmutableEnumChecker") // unmodifiable lists of records
public enum FaultKind {
  /** The tie's contact stays closed whatever its coil is told. */
  TIE_WELDED(at("tie")),
  /** The tie stays open whatever its coil is told. */
  TIE_WONT_CLOSE(at("tie")),
  /** The tie's auxiliary contact tells the opposite of the main contact's position. */
  AUX_CONTACT_LIES(at("tie")),
  /** The regulator acknowledges new set points and goes on with its old ones. */
  REGULATOR_IGNORES_SETPOINTS(at("regulator")),
  /** The charger goes on charging when it is told to stop. */
  CHARGER_STUCK_ON(at("inverter", "charger")),
  /** The inverter does not start; one that runs goes on. */
  INVERTER_WONT_START(at("inverter")),
  /** A sensor reads too much or too little by a fixed amount. */
  SENSOR_BIAS(
      Sensors.ALL,
      List.of(
          new Parameter(
              "by", -100_000, 100_000, "what is added, in the unit of the signal's name"))),
  /** A sensor goes on telling the value it had when the fault began. */
  SENSOR_STUCK(Sensors.ALL),
  /** A sensor tells nothing. */
  SENSOR_DROPOUT(Sensors.ALL),
  /** One device loses its link to the broker. */
  DEVICE_LINK_LOST(at("regulator", "inverter", "charger", "tie", "meter")),
  /** The supervisor loses its link to the broker. */
  SUPERVISOR_LINK_LOST(at("supervisor")),
  /** The supervisor stands still and then goes on as if nothing had been. */
  SUPERVISOR_PAUSE(at("supervisor")),
  /** The wire carries a false mode of the supervisor; exists on the bench only. */
  SUPERVISOR_LIES(
      at("supervisor"), List.of(), Arrays.stream(Mode.values()).map(Mode::name).toList());

  private final List<Target> targets;
  private final List<Parameter> parameters;
  private final List<String> claims;

  FaultKind(List<Target> targets) {
    this(targets, List.of());
  }

  FaultKind(List<Target> targets, List<Parameter> parameters) {
    this(targets, parameters, List.of());
  }

  FaultKind(List<Target> targets, List<Parameter> parameters, List<String> claims) {
    this.targets = targets;
    this.parameters = parameters;
    this.claims = claims;
  }

  /**
   * A device that this fault can befall.
   *
   * @param device as topics name it
   * @param signals which of its signals it can befall; empty when the fault is the whole device's
   */
  public record Target(String device, List<String> signals) {
    public Target {
      signals = List.copyOf(signals);
    }
  }

  /**
   * A number that the fault needs.
   *
   * @param name its field
   * @param meaning what it says, with its unit
   */
  public record Parameter(String name, double minimum, double maximum, String meaning) {}

  /** Where the fault can bite: at least one device. */
  public List<Target> targets() {
    return targets;
  }

  /** The devices that the fault can befall. */
  public List<String> devices() {
    return targets.stream().map(Target::device).toList();
  }

  /** The signals of a device that the fault can befall; empty when it is the whole device's. */
  public List<String> signals(String device) {
    Optional<Target> target = targets.stream().filter(t -> t.device().equals(device)).findFirst();
    return target.map(Target::signals).orElse(List.of());
  }

  /** Numbers that the fault needs. */
  public List<Parameter> parameters() {
    return parameters;
  }

  /** What the fault can make the device claim, in the field {@code as}; empty when nothing. */
  public List<String> claims() {
    return claims;
  }

  private static List<Target> at(String... devices) {
    return List.of(devices).stream().map(device -> new Target(device, List.of())).toList();
  }

  /** What each device measures. */
  private static final class Sensors {
    private static final List<Target> ALL =
        List.of(
            new Target(
                "regulator", List.of("battery.temperature_C", "bus.voltage_V", "pv.power_W")),
            new Target(
                "inverter", List.of("bus.voltage_V", "critical.voltage_pu", "inverter.power_W")),
            new Target("charger", List.of("battery.temperature_C", "bus.voltage_V")),
            new Target("tie", List.of("main.voltage_pu", "critical.voltage_pu")),
            new Target(
                "meter",
                List.of(
                    "battery.voltage_V",
                    "battery.current_A",
                    "battery.temperature_C",
                    "pcc.power_W",
                    "critical.power_W",
                    "noncritical.power_W")));
  }
}
