package islet.device;

import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/** A device's sensors by the name of the signal that they measure. */
public final class Sensors {

  private final Map<String, Sensor> byName = new TreeMap<>();

  Sensor add(String signal) {
    Sensor sensor = new Sensor();
    byName.put(signal, sensor);
    return sensor;
  }

  /** The sensor of a signal, if the device has one. */
  public Optional<Sensor> of(String signal) {
    return Optional.ofNullable(byName.get(signal));
  }

  /** The names of the signals that the device measures. */
  public Iterable<String> names() {
    return byName.keySet();
  }
}
