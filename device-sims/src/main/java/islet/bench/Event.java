package islet.bench;

import islet.fault.FaultKind;
import java.util.Collections;
import java.util.Map;
import java.util.TreeMap;

/** Something that happens to the site in a run. */
public sealed interface Event {

  /** When it begins, in microseconds after the start of the run. */
  long atMicros();

  /** The utility is gone. */
  record Outage(long atMicros, long durationMicros) implements Event {}

  /**
   * The utility's voltage is low for a while.
   *
   * @param pu what is left, 0 to 1
   */
  record Sag(long atMicros, double pu, long forMicros) implements Event {}

  /**
   * The utility's voltage is high for a while.
   *
   * @param pu above 1
   */
  record Swell(long atMicros, double pu, long forMicros) implements Event {}

  /** The utility's frequency is another for a while. */
  record FrequencyStep(long atMicros, double hz, long forMicros) implements Event {}

  /** The utility's angle jumps and stays so. */
  record PhaseJump(long atMicros, double deg) implements Event {}

  /**
   * A person asks for something.
   *
   * @param key whose padlock, for {@link Action#HOLD} and {@link Action#RELEASE}; to which side,
   *     for {@link Action#SWITCH}; else empty
   */
  record Operator(long atMicros, Action action, String key) implements Event {}

  /** What a person may ask for. */
  enum Action {
    /** Leave the utility. */
    ISLAND_REQUEST,
    /** Go back to the utility. */
    RECONNECT_REQUEST,
    /** Put a padlock on: nothing may close the tie. */
    HOLD,
    /** Take the padlock off. */
    RELEASE,
    /** Move the changeover switch by hand. */
    SWITCH,
    /** Acknowledge all alarms. */
    ACKNOWLEDGE,
    /** Leave the held mode. */
    RESET
  }

  /**
   * Something breaks.
   *
   * @param device which one, as topics name it
   * @param signal which of its signals; empty when the fault is the whole device's
   * @param numbers the kind's parameters by name
   * @param claim what the device is made to claim; empty when the kind knows no claim
   * @param forMicros for how long; 0 for the rest of the run
   */
  record Fault(
      long atMicros,
      FaultKind kind,
      String device,
      String signal,
      Map<String, Double> numbers,
      String claim,
      long forMicros)
      implements Event {
    public Fault {
      numbers = Collections.unmodifiableMap(new TreeMap<>(numbers));
    }
  }
}
