package islet.device;

import islet.contract.AckResult;
import islet.contract.BatteryPath;
import islet.contract.Device;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterCommand;
import islet.contract.MeterTelemetry;
import islet.contract.Port;
import islet.contract.Topics;
import islet.plant.Contactor;
import islet.plant.Plant;
import java.util.List;

/**
 * The site meter: service, both panels and the battery's shunt. It also switches the load circuits'
 * contactors. When the supervisor is silent the circuits stay as they are.
 */
public final class Meter extends SimulatedDevice {

  private final Plant plant;
  private final List<String> circuits;
  private final Sensor batteryVoltage = sensors().add("battery.voltage_V");
  private final Sensor batteryCurrent = sensors().add("battery.current_A");
  private final Sensor batteryTemperature = sensors().add("battery.temperature_C");
  private final Sensor pccPower = sensors().add("pcc.power_W");
  private final Sensor criticalPower = sensors().add("critical.power_W");
  private final Sensor noncriticalPower = sensors().add("noncritical.power_W");
  private String wanted = "";
  private String shed = "";
  private double toldUtilityPu;
  private double toldCriticalPu;
  private double toldCurrentA;
  private Contactor toldContactor = Contactor.CLOSED;

  /**
   * Connects a meter to its plant and its broker.
   *
   * @param circuits names of all circuits in the plant's order
   */
  public Meter(
      Plant plant,
      List<String> circuits,
      Topics topics,
      Port.Broker broker,
      Surroundings surroundings,
      double linkTimeoutS) {
    super(Device.METER, topics, broker, surroundings, linkTimeoutS);
    this.plant = plant;
    this.circuits = List.copyOf(circuits);
    state("ON", "");
  }

  @Override
  void command(Message message) throws MalformedException {
    MeterCommand c = decode(MeterCommand.LAYOUT, message);
    if (!good(c.seq(), c.at(), c.lifetimeS(), message)) {
      return;
    }
    if (!c.shedCircuits().isEmpty()) {
      for (String name : c.shedCircuits().split(",", -1)) {
        if (!circuits.contains(name)) {
          answer(c.seq(), AckResult.REFUSED, unknown(name), message);
          return;
        }
      }
    }
    boolean news = !wanted.equals(c.shedCircuits());
    wanted = c.shedCircuits();
    answer(c.seq(), AckResult.DONE, "", message);
    if (news) {
      surroundings().stir();
    }
  }

  /** The reason of a refusal has to fit its field, however long the name that was sent. */
  private static String unknown(String name) {
    return name.length() <= 64
        ? "there is no circuit " + name
        : "there is no circuit with so long a name";
  }

  @Override
  boolean act(long now) {
    if (wanted.equals(shed)) {
      return false;
    }
    surroundings().note(device().segment(), "shed", shed, wanted, "as ordered");
    List<String> off = List.of(wanted.split(",", -1));
    for (int i = 0; i < circuits.size(); i++) {
      plant.setCircuitClosed(i, !off.contains(circuits.get(i)));
    }
    shed = wanted;
    return true;
  }

  @Override
  long timer(long now) {
    return NEVER;
  }

  @Override
  boolean jumped() {
    return Math.abs(plant.mainVoltagePu() - toldUtilityPu) > JUMP_PU
        || plant.batteryContactor() != toldContactor;
  }

  @Override
  boolean moved() {
    return Math.abs(plant.mainVoltagePu() - toldUtilityPu) > 0.005
        || Math.abs(plant.criticalVoltagePu() - toldCriticalPu) > 0.01
        || Math.abs(plant.batteryCurrentA() - toldCurrentA) > 10;
  }

  @Override
  byte[] telemetry(long seq, long now) {
    toldUtilityPu = plant.mainVoltagePu();
    toldCriticalPu = plant.criticalVoltagePu();
    toldCurrentA = plant.batteryCurrentA();
    toldContactor = plant.batteryContactor();
    return MeterTelemetry.LAYOUT.encode(
        new MeterTelemetry(
            seq,
            now,
            toldUtilityPu,
            plant.mainFrequencyHz(),
            pccPower.tell(plant.pccPowerW()),
            criticalPower.tell(plant.criticalPowerW()),
            noncriticalPower.tell(plant.noncriticalPowerW()),
            toldCriticalPu,
            Math.max(0, batteryVoltage.tell(plant.batteryTerminalV())),
            batteryCurrent.tell(toldCurrentA),
            batteryTemperature.tell(plant.batteryTemperatureC()),
            shed,
            local(),
            batteryPath()));
  }

  /** By the contactor's auxiliary contacts, which are wired to the meter. */
  private BatteryPath batteryPath() {
    return switch (plant.batteryContactor()) {
      case CLOSED -> BatteryPath.CLOSED;
      case DISCHARGE_ONLY -> BatteryPath.DISCHARGE_ONLY;
      case OPEN -> BatteryPath.OPEN;
    };
  }
}
