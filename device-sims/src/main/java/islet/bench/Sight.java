package islet.bench;

import java.util.List;

/**
 * What is so at the site when a run stands still: the bench's truth, except the mode and the
 * alarms, which are what the wire has told.
 *
 * @param micros the instant, microseconds since 1970
 * @param mode the supervisor's mode as it tells it
 * @param readings the signals that were asked for
 * @param alarms the alarms that stand, by id, in the order in which they are declared
 */
public record Sight(long micros, String mode, List<Reading> readings, List<String> alarms) {

  public Sight {
    readings = List.copyOf(readings);
    alarms = List.copyOf(alarms);
  }

  /**
   * One signal.
   *
   * @param signal its name
   * @param value with the decimals that a trace has, or its word
   * @param unit empty for words and shares
   */
  public record Reading(String signal, String value, String unit) {

    /** The value with its unit, such as {@code 57.6 V}. */
    public String text() {
      return unit.isEmpty() ? value : value + " " + unit;
    }
  }
}
