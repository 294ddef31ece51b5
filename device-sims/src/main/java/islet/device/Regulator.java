package islet.device;

import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.RegulatorCommand;
import islet.contract.RegulatorTelemetry;
import islet.contract.Topics;
import islet.plant.Plant;

/** The charge regulator between array and DC bus. */
public final class Regulator extends ChargingDevice {

  private final Sensor pvPower = sensors().add("pv.power_W");
  private boolean ignores;

  /** Connects a regulator to its plant and its broker. */
  public Regulator(
      Plant plant,
      ChargingSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.REGULATOR, plant, settings, topics, broker, surroundings, linkTimeoutS);
  }

  @Override
  void command(Message message) throws MalformedException {
    RegulatorCommand c = decode(RegulatorCommand.LAYOUT, message);
    if (good(c.seq(), c.at(), c.lifetimeS(), message)) {
      order(c.seq(), c.enabled(), c.stage(), c.voltageSetV(), c.currentLimitA(), message);
    }
  }

  @Override
  double terminalV() {
    return plant.regulatorTerminalV();
  }

  @Override
  double outputA() {
    return plant.regulatorCurrentA();
  }

  @Override
  void set(boolean switchedOn, double volts, double amperes) {
    plant.setRegulator(switchedOn, volts, amperes);
  }

  @Override
  boolean obeys() {
    return !ignores;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    return RegulatorTelemetry.LAYOUT.encode(
        new RegulatorTelemetry(
            seq,
            now,
            toldBusV(),
            toldTemperatureC(),
            plant.pvVoltageV(),
            pvPower.tell(plant.pvPowerW()),
            outputA(),
            toldSetV(),
            limitA(),
            stage(),
            on(),
            local()));
  }

  /** Lets it accept commands and not carry them out. */
  public void ignoreSetPoints(boolean ignore) {
    ignores = ignore;
  }
}
