package islet.fault;

import java.util.Collections;
import java.util.Map;
import java.util.TreeMap;

/**
 * One fault as it is let begin and end.
 *
 * @param device which one, as topics name it
 * @param signal which of its signals; empty when the fault is the whole device's
 * @param numbers the kind's parameters by name
 * @param claim which of the kind's ways; empty when it knows only one
 * @param seed of its own chance, where it has any
 */
public record Fault(
    FaultKind kind,
    String device,
    String signal,
    Map<String, Double> numbers,
    String claim,
    long seed) {

  public Fault {
    numbers = Collections.unmodifiableMap(new TreeMap<>(numbers));
  }

  /**
   * A parameter.
   *
   * @throws IllegalArgumentException when it is not given, which the scenario's reader has ruled
   *     out
   */
  public double number(String name) {
    if (!numbers.containsKey(name)) {
      throw new IllegalArgumentException(kind + " needs the number " + name);
    }
    return numbers.get(name);
  }

  /** Whether it stands until it is ended; one that happens once is over at once. */
  public boolean stands() {
    return !kind.once() && (kind != FaultKind.INVERTER_TRIPS || claim.equals(FaultKind.LOCKED));
  }

  /** A parameter that is a time in s, in microseconds. */
  public long micros(String name) {
    return Math.round(number(name) * 1e6);
  }
}
