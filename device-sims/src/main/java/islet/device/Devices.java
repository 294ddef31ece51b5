package islet.device;

import islet.contract.Device;
import java.util.List;
import java.util.Optional;

/** The four devices of a site, in the fixed order in which they run. */
public record Devices(Tie tie, Inverter inverter, Regulator regulator, Meter meter) {

  /**
   * All of them, in the order in which they run: the tie first, since the inverter reads its
   * contact.
   */
  public List<SimulatedDevice> all() {
    return List.of(tie, inverter, regulator, meter);
  }

  /** The device of a name, if it is one of these. */
  public Optional<SimulatedDevice> of(Device device) {
    return all().stream().filter(d -> d.device() == device).findFirst();
  }
}
