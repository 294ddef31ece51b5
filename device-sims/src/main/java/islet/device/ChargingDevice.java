package islet.device;

import islet.contract.AckResult;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.plant.Plant;

/**
 * What a regulator and a charger share: holds the bus at the commanded voltage with at most the
 * commanded current, and charges in its own stages when the supervisor is silent or has never
 * spoken of it. Stops by itself above its highest bus voltage.
 */
abstract class ChargingDevice extends SimulatedDevice {

  /**
   * The bus must come down by this share before the device gives current again after an
   * over-voltage.
   */
  private static final double RELEASE_SHARE = 0.97;

  /** And it stays off for so long, since its own current lifts what it measures. */
  private static final long RELEASE_MICROS = 10_000_000;

  final Plant plant;
  final ChargingSettings settings;
  private final Sensor busVoltage = sensors().add("bus.voltage_V");
  private final Sensor batteryTemperature = sensors().add("battery.temperature_C");
  private final OwnCharging own;
  private boolean enabled;
  private ChargeStage ordered = ChargeStage.OFF;
  private double orderedV;
  private double orderedA;
  private boolean commanded;
  private boolean tooHigh;
  private long tooHighAt;
  private double handV;
  private double handA = -1;
  private boolean on;
  private double setV;
  private double limitA;
  private ChargeStage stage = ChargeStage.OFF;

  ChargingDevice(
      Device device,
      Plant plant,
      ChargingSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(device, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.settings = settings;
    own = new OwnCharging(settings);
  }

  /** Voltage at its own terminals, V. */
  abstract double terminalV();

  /** What it gives the bus, A. */
  abstract double outputA();

  /** Sets the plant's part. */
  abstract void set(boolean switchedOn, double volts, double amperes);

  /** Whether it carries out what it accepts. */
  boolean obeys() {
    return true;
  }

  /** A current that it gives whatever it is told, A; 0 for none. */
  double stuckA() {
    return 0;
  }

  /** Takes a decoded command that is still good. */
  final void order(
      long seq, boolean enable, ChargeStage shown, double volts, double amperes, Message message) {
    if (enable && volts > settings.maximumV()) {
      String limit = "set point above the " + device().segment() + "'s own limit";
      answer(seq, AckResult.REFUSED, limit, message);
      return;
    }
    boolean news =
        !commanded
            || enabled != enable
            || ordered != shown
            || orderedV != volts
            || orderedA != amperes;
    if (obeys()) {
      enabled = enable;
      ordered = shown;
      orderedV = volts;
      orderedA = amperes;
      commanded = true;
    }
    answer(seq, AckResult.ACCEPTED, "", message);
    if (news) {
      surroundings().stir();
    }
  }

  @Override
  boolean act(long now) {
    double bus = busVoltage.read(terminalV());
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
      own.step(bus, outputA(), temperature, now);
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
    if (handV > 0) {
      nextV = Math.min(handV, settings.maximumV());
    }
    if (handA >= 0) {
      nextA = handA;
    }
    nextOn = nextOn && !tooHigh;
    // It holds what its own voltmeter calls the set point.
    nextV -= busVoltage.offset();
    if (stuckA() > 0) {
      // What is stuck on heeds neither orders nor its own limits.
      nextOn = true;
      nextV = 1.2 * settings.maximumV();
      nextA = stuckA();
    }
    state(
        nextOn ? stage.name() : "OFF",
        tooHigh ? "bus above its highest voltage" : local() ? "own settings" : "as ordered");
    if (nextOn == on && nextV == setV && nextA == limitA) {
      return false;
    }
    on = nextOn;
    setV = nextV;
    limitA = nextA;
    set(on, setV, limitA);
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

  /** The bus voltage that it tells, V. */
  final double toldBusV() {
    return Math.max(0, busVoltage.tell(terminalV()));
  }

  /** The battery temperature that it tells, °C. */
  final double toldTemperatureC() {
    return batteryTemperature.tell(plant.batteryTemperatureC());
  }

  /** The voltage that it holds by its own voltmeter, V. */
  final double toldSetV() {
    return setV + busVoltage.offset();
  }

  /**
   * Somebody enters a voltage at the unit, which goes by it whatever it is told, up to its own
   * highest.
   *
   * @param volts above 0; 0 takes it back
   */
  public final void voltageByHand(double volts) {
    handV = volts;
  }

  /**
   * Somebody enters a current limit at the unit, which goes by it whatever it is told.
   *
   * @param amperes 0 or more; negative takes it back
   */
  public final void currentByHand(double amperes) {
    handA = amperes;
  }

  final double limitA() {
    return limitA;
  }

  final boolean on() {
    return on;
  }

  /** The stage in which it works. */
  public final ChargeStage stage() {
    return stage;
  }
}
