package islet.plant;

/** Weather of which only each interval's energy is known, not how it runs within. */
public interface IntervalWeather extends Weather {

  /**
   * Start of the interval that holds an instant, both in µs since 1970-01-01T00:00Z.
   *
   * @param epochMicros any instant
   */
  long intervalStart(long epochMicros);

  /** Length of every interval, µs. */
  long intervalMicros();
}
