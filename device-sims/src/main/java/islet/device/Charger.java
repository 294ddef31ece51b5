package islet.device;

import islet.contract.AckResult;
import islet.contract.ChargeStage;
import islet.contract.ChargerCommand;
import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.plant.Plant;

/**
 * A charger of its own between main panel and DC bus: holds the bus at the commanded voltage with
 * at most the commanded current, and charges in its own stages when the supervisor is silent. Stops
 * by itself above its highest bus voltage.
 */
public final class Charger extends SimulatedDevice {

  /**
   * The bus must come down by this share before the charger gives current again after an
   * over-voltage.
   */
  private static final double RELEASE_SHARE = 0.97;

  /** And it stays off for so long, since its own current lifts what it measures. */
  private static final long RELEASE_MICROS = 10_000_000;

  private final Plant plant;
  private final ChargingSettings settings;
  private final Sensor busVoltage = sensors().add("bus.voltage_V");
  private final Sensor batteryTemperature = sensors().add("battery.temperature_C");
  private boolean enabled;
  private ChargeStage ordered = ChargeStage.OFF;
  private double orderedV;
  private double orderedA;
  private boolean commanded;
  private boolean tooHigh;
  private long tooHighAt;
  private final OwnCharging own;
  private double stuckA;
  private boolean on;
  private double setV;
  private double limitA;
  private ChargeStage stage = ChargeStage.OFF;
  private String toldStage = "OFF";

  /** Connects a charger to its plant and its broker. */
  public Charger(
      Plant plant,
      ChargingSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.CHARGER, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.settings = settings;
    own = new OwnCharging(settings);
  }

  @Override
  void command(Message message) throws MalformedException {
    ChargerCommand c = decode(ChargerCommand.LAYOUT, message);
    if (!good(c.seq(), c.at(), c.lifetimeS(), message)) {
      return;
    }
    if (c.enabled() && c.voltageSetV() > settings.maximumV()) {
      answer(c.seq(), AckResult.REFUSED, "set point above the charger's own limit", message);
      return;
    }
    boolean news =
        !commanded
            || enabled != c.enabled()
            || ordered != c.stage()
            || orderedV != c.voltageSetV()
            || orderedA != c.currentLimitA();
    enabled = c.enabled();
    ordered = c.stage();
    orderedV = c.voltageSetV();
    orderedA = c.currentLimitA();
    commanded = true;
    answer(c.seq(), AckResult.ACCEPTED, "", message);
    if (news) {
      surroundings().stir();
    }
  }

  @Override
  boolean act(long now) {
    double bus = busVoltage.read(plant.chargerTerminalV());
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
      own.step(bus, plant.chargerCurrentA(), temperature, now);
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
    if (stuckA > 0) {
      // What is stuck on heeds neither orders nor its own limits.
      nextOn = true;
      nextV = 1.2 * settings.maximumV();
      nextA = stuckA;
    }
    String word = nextOn ? stage.name() : "OFF";
    if (!word.equals(toldStage)) {
      surroundings().note(device().segment(), "stage", toldStage, word, "");
      toldStage = word;
    }
    state(
        word, tooHigh ? "bus above its highest voltage" : local() ? "own settings" : "as ordered");
    if (nextOn == on && nextV == setV && nextA == limitA) {
      return false;
    }
    on = nextOn;
    setV = nextV;
    limitA = nextA;
    plant.setCharger(on, setV, limitA);
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
    return ChargerTelemetry.LAYOUT.encode(
        new ChargerTelemetry(
            seq,
            now,
            Math.max(0, busVoltage.read(plant.chargerTerminalV())),
            batteryTemperature.read(plant.batteryTemperatureC()),
            plant.chargerPowerW(),
            plant.chargerCurrentA(),
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

  /** Lets it charge with a current whatever it is told; 0 A ends that. */
  public void stuckCharging(double amperes) {
    stuckA = amperes;
  }
}
