package islet.device;

import islet.contract.ChargerCommand;
import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.plant.Plant;

/** A charger of its own between main panel and DC bus. */
public final class Charger extends ChargingDevice {

  private static final String OFF = "OFF";

  private double stuckA;
  private String notedStage = OFF;

  /** Connects a charger to its plant and its broker. */
  public Charger(
      Plant plant,
      ChargingSettings settings,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.CHARGER, plant, settings, topics, broker, surroundings, linkTimeoutS);
  }

  @Override
  void command(Message message) throws MalformedException {
    ChargerCommand c = decode(ChargerCommand.LAYOUT, message);
    if (good(c.seq(), c.at(), c.lifetimeS(), message)) {
      order(c.seq(), c.enabled(), c.stage(), c.voltageSetV(), c.currentLimitA(), message);
    }
  }

  @Override
  boolean act(long now) {
    boolean changed = super.act(now);
    // The regulator's stage is a signal of its own in the trace; the charger's is told here.
    String word = on() ? stage().name() : OFF;
    if (!word.equals(notedStage)) {
      surroundings().note(device().segment(), "stage", notedStage, word, "");
      notedStage = word;
    }
    return changed;
  }

  @Override
  double terminalV() {
    return plant.chargerTerminalV();
  }

  @Override
  double outputA() {
    return plant.chargerCurrentA();
  }

  @Override
  void set(boolean switchedOn, double volts, double amperes) {
    plant.setCharger(switchedOn, volts, amperes);
  }

  @Override
  double stuckA() {
    return stuckA;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    return ChargerTelemetry.LAYOUT.encode(
        new ChargerTelemetry(
            seq,
            now,
            toldBusV(),
            toldTemperatureC(),
            plant.chargerPowerW(),
            outputA(),
            toldSetV(),
            limitA(),
            stage(),
            on(),
            local()));
  }

  /** Lets it charge with a current whatever it is told; 0 A ends that. */
  public void stuckCharging(double amperes) {
    stuckA = amperes;
  }
}
