package islet.fault;

import islet.contract.Device;
import islet.device.Devices;
import islet.device.Sensor;
import islet.device.SimulatedDevice;
import islet.device.Tie;
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

  private final Devices devices;
  private final Reach reach;

  /** Faults for these devices and their surroundings. */
  public FaultInjector(Devices devices, Reach reach) {
    this.devices = devices;
    this.reach = reach;
  }

  /**
   * Lets a fault begin or end.
   *
   * @param device as topics name it
   * @param signal which of the device's signals; empty when the fault is the whole device's
   * @param by what a biased sensor reads too much, in the signal's unit
   * @param claim what the device is made to claim; empty for nothing
   * @param on whether it begins
   * @throws IllegalArgumentException when the device has no such sensor, which the scenario's
   *     reader has ruled out
   */
  public void set(
      FaultKind kind, String device, String signal, double by, String claim, boolean on) {
    switch (kind) {
      case TIE_WELDED -> tie().weld(on);
      case TIE_WONT_CLOSE -> tie().block(on);
      case AUX_CONTACT_LIES -> tie().lie(on);
      case REGULATOR_IGNORES_SETPOINTS -> devices.regulator().ignoreSetPoints(on);
      case CHARGER_STUCK_ON -> {
        if (named(device) == Device.CHARGER) {
          devices.charger().orElseThrow(() -> absent(device)).stuckCharging(on ? STUCK_A : 0);
        } else {
          devices.inverter().stuckCharging(on ? STUCK_A : 0);
        }
      }
      case INVERTER_WONT_START -> devices.inverter().wontStart(on);
      case SENSOR_BIAS -> sensor(device, signal).bias(on ? by : 0);
      case SENSOR_STUCK -> sensor(device, signal).stuck(on);
      case SENSOR_DROPOUT -> sensor(device, signal).dead(on);
      case DEVICE_LINK_LOST -> reach.cut(named(device), on);
      case SUPERVISOR_LINK_LOST -> reach.cut(Device.SUPERVISOR, on);
      case SUPERVISOR_PAUSE -> reach.pause(on);
      case SUPERVISOR_LIES -> reach.claim(on ? claim : "");
    }
  }

  private Tie tie() {
    return devices.tie().orElseThrow(() -> absent("tie"));
  }

  private static IllegalArgumentException absent(String device) {
    return new IllegalArgumentException("there is no device " + device);
  }

  private static Device named(String device) {
    return Device.valueOf(device.toUpperCase(Locale.ROOT));
  }

  private Sensor sensor(String device, String signal) {
    SimulatedDevice owner = devices.of(named(device)).orElseThrow(() -> absent(device));
    return owner
        .sensors()
        .of(signal)
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    device
                        + " has no sensor for "
                        + signal
                        + "; it has "
                        + owner.sensors().names()));
  }
}
