package islet.device;

import islet.contract.Device;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The devices of a site, in the fixed order in which they run.
 *
 * @param tie the tie or the changeover switch, where there is one
 * @param charger a charger of its own, where there is one
 * @param guard the battery's management unit, where there is one; it is on no wire, so it is none
 *     of {@link #all()}
 */
public record Devices(
    Optional<Tie> tie,
    Inverter inverter,
    Regulator regulator,
    Optional<Charger> charger,
    Meter meter,
    Optional<BatteryGuard> guard) {

  /**
   * All of them, in the order in which they run: the tie first, since the inverter reads its
   * contact.
   */
  public List<SimulatedDevice> all() {
    List<SimulatedDevice> all = new ArrayList<>();
    tie.ifPresent(all::add);
    all.add(inverter);
    all.add(regulator);
    charger.ifPresent(all::add);
    all.add(meter);
    return List.copyOf(all);
  }

  /** The device of a name, if it is one of these. */
  public Optional<SimulatedDevice> of(Device device) {
    return all().stream().filter(d -> d.device() == device).findFirst();
  }
}
