package islet.bench;

import islet.fault.FaultKind;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/** Something that happens to the site in a run. */
public sealed interface Event {

  /** When it begins, in microseconds after the start of the run. */
  long atMicros();

  /** When the outages in it are over, in microseconds after the start of the run; 0 without any. */
  default long outUntilMicros() {
    return 0;
  }

  /**
   * The utility is gone.
   *
   * @param returnDeg by how much its angle has moved when it returns
   * @param match the load that its line keeps; empty for the site's own line load
   */
  record Outage(long atMicros, long durationMicros, double returnDeg, Optional<Match> match)
      implements Event {
    /** An outage that returns in step, with the site's own line load. */
    public Outage(long atMicros, long durationMicros) {
      this(atMicros, durationMicros, 0, Optional.empty());
    }

    @Override
    public long outUntilMicros() {
      return atMicros + durationMicros;
    }
  }

  /**
   * A load on the line like what the site feeds at the instant of the outage: R, L and C in
   * parallel.
   *
   * @param share its active power over what the site feeds
   * @param qualityFactor its inductive vars over its watts at a perfect match
   * @param imbalance capacitive vars too many over those watts
   */
  record Match(double share, double qualityFactor, double imbalance) {}

  /**
   * A breaker upstream opens and closes.
   *
   * @param micros lengths of off, on, off and so on, an odd number of them
   */
  record Reclose(long atMicros, List<Long> micros) implements Event {
    public Reclose {
      micros = List.copyOf(micros);
    }

    /** From the first opening to the last closing. */
    long totalMicros() {
      return micros.stream().mapToLong(Long::longValue).sum();
    }

    @Override
    public long outUntilMicros() {
      return atMicros + totalMicros();
    }
  }

  /**
   * The utility's voltage sinks slowly, stays low and comes back slowly.
   *
   * @param pu what is left, 0 to 1
   */
  record BrownOut(long atMicros, double pu, long fallMicros, long forMicros, long riseMicros)
      implements Event {}

  /**
   * The utility's frequency moves slowly, stays and comes back as slowly.
   *
   * @param hz to which it moves
   * @param hzPerS how fast, above 0
   */
  record FrequencyRamp(long atMicros, double hz, double hzPerS, long forMicros) implements Event {}

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

  /**
   * A cloud passes the array; by hand in a live run only.
   *
   * @param share of the light that is left, 0 to 1
   */
  record Cloud(long atMicros, double share, long forMicros) implements Event {}

  /**
   * A load on the emergency panel comes, or one goes; by hand in a live run only.
   *
   * @param watts at nominal voltage; below 0 for one that goes
   */
  record LoadStep(long atMicros, double watts, long forMicros) implements Event {}

  /** The utility's angle jumps and stays so. */
  record PhaseJump(long atMicros, double deg) implements Event {}

  /**
   * A person asks for something.
   *
   * @param key whose padlock, for {@link Action#HOLD} and {@link Action#RELEASE}; to which side,
   *     for {@link Action#SWITCH}; which alarm or override, as the wire names it; else empty
   * @param forMicros for how long, where that is asked; else 0
   */
  record Operator(long atMicros, Action action, String key, long forMicros) implements Event {

    /** What lasts until it is taken back. */
    public Operator(long atMicros, Action action, String key) {
      this(atMicros, action, key, 0);
    }
  }

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
    RESET,
    /** Put an alarm aside for a time. */
    SHELVE,
    /** Take an alarm off the shelf. */
    UNSHELVE,
    /** Force something for a time. */
    OVERRIDE,
    /** End an override before its time. */
    END_OVERRIDE,
    /** Let the supervisor begin everything by itself. */
    AUTO,
    /** Let a person begin what is not urgent. */
    MANUAL,
    /** Equalise after the next full charge. */
    EQUALISE,
    /** Warn of something for a time. */
    WARN,
    /** Take back a warning, or all. */
    ALL_CLEAR
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

    /** As it is let begin and end, with the seed of its own chance. */
    islet.fault.Fault told(long seed) {
      return new islet.fault.Fault(kind, device, signal, numbers, claim, seed);
    }
  }
}
