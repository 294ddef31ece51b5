package islet.device;

import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.LongSupplier;

/** A device's sensors by the name of the signal that they measure. */
public final class Sensors {

  private final Map<String, Sensor> byName = new TreeMap<>();

  private final LongSupplier clock;

  /** No sensor yet; the clock gives microseconds since 1970. */
  Sensors(LongSupplier clock) {
    this.clock = clock;
  }

  Sensor add(String signal) {
    Sensor sensor = new Sensor(clock);
    byName.put(signal, sensor);
    return sensor;
  }

  /** The sensor of a signal, if the device has one. */
  public Optional<Sensor> of(String signal) {
    return Optional.ofNullable(byName.get(signal));
  }

  /** Whether one of them tells what is no number. */
  boolean anyNotFinite() {
    for (Sensor sensor : byName.values()) {
      if (sensor.isNotFinite()) {
        return true;
      }
    }
    return false;
  }

  /** The names of the signals that the device measures. */
  public Iterable<String> names() {
    return byName.keySet();
  }
}
