package islet.device;

import islet.contract.AckResult;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.RegulatorCommand;
import islet.contract.RegulatorTelemetry;
import islet.contract.Topics;
import islet.plant.Plant;

/**
 * The charge regulator: holds the bus at the commanded voltage with at most the commanded current,
 * and charges in its own stages when the supervisor is silent. Stops by itself above its highest
 * bus voltage.
 */
public final class Regulator extends SimulatedDevice {

  /**
   * The bus must come down by this share before the regulator gives current again after an
   * over-voltage.
   */
  private static final double RELEASE_SHARE = 0.97;

  /** And it stays off for so long, since its own current lifts what it measures. */
  private static final long RELEASE_MICROS = 10_000_000;

  private final Plant plant;
  private final ChargingSettings settings;
  private final Sensor busVoltage = sensors().add("bus.voltage_V");
  private final Sensor batteryTemperature = sensors().add("battery.temperature_C");
  private final Sensor pvPower = sensors().add("pv.power_W");
  private boolean enabled;
  private ChargeStage ordered = ChargeStage.OFF;
  private double orderedV;
  private double orderedA;
  private boolean commanded;
  private boolean tooHigh;
  private long tooHighAt;
  private final OwnCharging own;
  private boolean ignores;
  private boolean on;
  private double setV;
  private double limitA;
  private ChargeStage stage = ChargeStage.OFF;

  /** Connects a regulator to its plant and its broker. */
  public Regulator(
      Plant plant,
      ChargingSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.REGULATOR, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.settings = settings;
    own = new OwnCharging(settings);
  }

  @Override
  void command(Message message) throws MalformedException {
    RegulatorCommand c = decode(RegulatorCommand.LAYOUT, message);
    if (!good(c.seq(), c.at(), c.lifetimeS(), message)) {
      return;
    }
    if (c.enabled() && c.voltageSetV() > settings.maximumV()) {
      answer(c.seq(), AckResult.REFUSED, "set point above the regulator's own limit", message);
      return;
    }
    boolean news =
        !commanded
            || enabled != c.enabled()
            || ordered != c.stage()
            || orderedV != c.voltageSetV()
            || orderedA != c.currentLimitA();
    if (!ignores) {
      enabled = c.enabled();
      ordered = c.stage();
      orderedV = c.voltageSetV();
      orderedA = c.currentLimitA();
      commanded = true;
    }
    answer(c.seq(), AckResult.ACCEPTED, "", message);
    if (news) {
      surroundings().stir();
    }
  }

  @Override
  boolean act(long now) {
    double bus = busVoltage.read(plant.regulatorTerminalV());
    if (bus > settings.maximumV()) {
      tooHigh = true;
      tooHighAt = now;
    } else if (bus < RELEASE_SHARE * settings.maximumV() && now - tooHighAt >= RELEASE_MICROS) {
      tooHigh = false;
    }
    boolean nextOn;
    double nextV;
    double nextA;
    if (local() || !commanded) {
      double temperature = batteryTemperature.read(plant.batteryTemperatureC());
      own.step(bus, plant.regulatorCurrentA(), temperature, now);
      stage = own.stage();
      nextOn = own.allowed(temperature);
      nextV = own.setV(temperature);
      nextA = settings.maximumA();
    } else {
      stage = enabled ? ordered : ChargeStage.OFF;
      nextOn = enabled;
      nextV = orderedV;
      nextA = orderedA;
    }
    nextOn = nextOn && !tooHigh;
    // It holds what its own voltmeter calls the set point.
    nextV -= busVoltage.offset();
    state(
        nextOn ? stage.name() : "OFF",
        tooHigh ? "bus above its highest voltage" : local() ? "own settings" : "as ordered");
    if (nextOn == on && nextV == setV && nextA == limitA) {
      return false;
    }
    on = nextOn;
    setV = nextV;
    limitA = nextA;
    plant.setRegulator(on, setV, limitA);
    return true;
  }

  @Override
  long timer(long now) {
    return NEVER;
  }

  @Override
  boolean jumped() {
    return false;
  }

  @Override
  boolean moved() {
    return false;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    return RegulatorTelemetry.LAYOUT.encode(
        new RegulatorTelemetry(
            seq,
            now,
            Math.max(0, busVoltage.read(plant.regulatorTerminalV())),
            batteryTemperature.read(plant.batteryTemperatureC()),
            plant.pvVoltageV(),
            pvPower.read(plant.pvPowerW()),
            plant.regulatorCurrentA(),
            setV + busVoltage.offset(),
            limitA,
            stage,
            on,
            local()));
  }

  /** The stage in which it works. */
  public ChargeStage stage() {
    return stage;
  }

  /** Lets it accept commands and not carry them out. */
  public void ignoreSetPoints(boolean ignore) {
    ignores = ignore;
  }
}
