package islet.fault;

import islet.contract.Device;
import islet.device.Charger;
import islet.device.Devices;
import islet.device.Sensor;
import islet.device.SimulatedDevice;
import islet.device.Tie;
import islet.plant.Plant;
import java.util.Locale;

/**
 * Lets faults begin and end. Each kind bites in one place only; everything that follows is physics
 * and logic.
 */
public final class FaultInjector {

  /**
   * A charger that is stuck goes on with this current, A: the rated one of a common small unit,
   * invented.
   */
  private static final double STUCK_A = 40;

  private static final double THOUSAND = 1000;

  private static final String TEMPERATURE = "battery.temperature_C";

  private final Devices devices;
  private final Plant plant;
  private final Reach reach;
  private final Voice voice;

  /** Faults for these devices, their plant and their surroundings. */
  public FaultInjector(Devices devices, Plant plant, Reach reach, Voice voice) {
    this.devices = devices;
    this.plant = plant;
    this.reach = reach;
    this.voice = voice;
  }

  /**
   * Lets a fault begin or end.
   *
   * @param on whether it begins
   * @throws IllegalArgumentException when the site has no such part, which the scenario's reader
   *     has ruled out
   */
  public void set(Fault fault, boolean on) {
    switch (fault.kind()) {
      case TIE_WELDED -> tie().weld(on);
      case TIE_WONT_CLOSE -> tie().block(on);
      case AUX_CONTACT_LIES -> tie().lie(on);
      case REGULATOR_IGNORES_SETPOINTS -> devices.regulator().ignoreSetPoints(on);
      case CHARGER_STUCK_ON -> {
        if (named(fault) == Device.CHARGER) {
          charger().stuckCharging(on ? STUCK_A : 0);
        } else {
          devices.inverter().stuckCharging(on ? STUCK_A : 0);
        }
      }
      case INVERTER_WONT_START -> devices.inverter().wontStart(on);
      case SENSOR_BIAS -> sensor(fault).bias(on ? fault.number("by") : 0);
      case SENSOR_STUCK -> sensor(fault).stuck(on);
      case SENSOR_DROPOUT -> sensor(fault).dead(on);
      case DEVICE_LINK_LOST -> reach.cut(named(fault), on);
      case SUPERVISOR_LINK_LOST -> reach.cut(Device.SUPERVISOR, on);
      case SUPERVISOR_PAUSE -> reach.pause(on);
      case SUPERVISOR_LIES -> reach.claim(on ? fault.claim() : "");
      case LINK_DELAY,
          LINK_JITTER,
          LINK_LOSS,
          LINK_DUPLICATE,
          LINK_REORDER,
          LINK_CORRUPT,
          BROKER_RESTART ->
          reach.disturb(fault, on);
      case LINK_FLOOD, STALE_RETAINED, OVERRIDE_LEFT_ON -> voice.say(fault, on);
      case SENSOR_DRIFT -> sensor(fault).drift(on ? fault.number("perHour") : 0);
      case SENSOR_NOISE -> sensor(fault).noise(on ? fault.number("deviation") : 0, fault.seed());
      case SENSOR_NOT_FINITE -> sensor(fault).notFinite(on);
      case SENSOR_UNIT_SLIP -> sensor(fault).slip(on ? factor(fault) : 1);
      case SENSOR_REVERSED -> sensor(fault).reversed(on);
      case TIE_SLOW -> tie().slow(on ? fault.number("factor") : 1);
      case INVERTER_TRIPS -> {
        if (on) {
          devices.inverter().tripNow(fault.claim().equals(FaultKind.LOCKED));
        } else {
          devices.inverter().unlock();
        }
      }
      case INVERTER_DERATED -> plant.setInverterShare(on ? fault.number("share") : 1);
      case CELL_SHORTED -> plant.setShortedCells(on ? 1 : 0);
      case CAPACITY_LOST -> {
        if (on) {
          plant.loseBatteryCapacity(fault.number("share"));
        }
      }
      case RESISTANCE_HIGH -> plant.setBatteryResistanceFactor(on ? fault.number("factor") : 1);
      case BATTERY_CONTACTOR_OPEN -> plant.setBatteryContactorFailedOpen(on);
      case BATTERY_TEMPERATURE_LOST -> {
        for (SimulatedDevice device : devices.all()) {
          device.sensors().of(TEMPERATURE).ifPresent(probe -> probe.dead(on));
        }
      }
      case SUPERVISOR_CRASH,
          SUPERVISOR_RESTART,
          SECOND_SUPERVISOR,
          SUPERVISOR_CLOCK_STEP,
          JOURNAL_TRUNCATED ->
          reach.upset(fault, on);
      case VOLTAGE_SET_BY_HAND -> {
        double volts = on ? fault.number("volts") : 0;
        if (named(fault) == Device.CHARGER) {
          charger().voltageByHand(volts);
        } else {
          devices.regulator().voltageByHand(volts);
        }
      }
      case CURRENT_SET_BY_HAND -> current(fault, on ? fault.number("amperes") : -1);
      case DISCONNECT_LEFT_OPEN -> {
        switch (fault.device()) {
          case FaultKind.PV -> plant.setArrayDisconnected(on);
          case FaultKind.BATTERY_ITSELF -> plant.setBatteryDisconnected(on);
          default -> tie().isolate(on);
        }
      }
    }
  }

  private void current(Fault fault, double amperes) {
    switch (named(fault)) {
      case REGULATOR -> devices.regulator().currentByHand(amperes);
      case CHARGER -> charger().currentByHand(amperes);
      case INVERTER -> devices.inverter().currentByHand(amperes);
      case TIE, METER, SUPERVISOR, BENCH -> throw absent(fault.device());
    }
  }

  private static double factor(Fault fault) {
    return fault.claim().equals(FaultKind.THOUSANDFOLD) ? THOUSAND : 1 / THOUSAND;
  }

  private Tie tie() {
    return devices.tie().orElseThrow(() -> absent("tie"));
  }

  private Charger charger() {
    return devices.charger().orElseThrow(() -> absent("charger"));
  }

  private static IllegalArgumentException absent(String device) {
    return new IllegalArgumentException("there is no such device " + device);
  }

  private static Device named(Fault fault) {
    return Device.valueOf(fault.device().toUpperCase(Locale.ROOT));
  }

  private Sensor sensor(Fault fault) {
    SimulatedDevice owner = devices.of(named(fault)).orElseThrow(() -> absent(fault.device()));
    return owner
        .sensors()
        .of(fault.signal())
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    fault.device()
                        + " has no sensor for "
                        + fault.signal()
                        + "; it has "
                        + owner.sensors().names()));
  }
}
