package islet.live;

/**
 * How wall time and site time go together in a live run: from a common start, site time runs a
 * fixed number of times as fast.
 *
 * @param siteStartMicros site time at the start, µs since the Unix epoch
 * @param wallStartNanos reading of a steady wall clock at the start, ns
 * @param speed site seconds in a wall second, above 0 to 1e6
 */
public record Pace(long siteStartMicros, long wallStartNanos, double speed) {

  private static final double HIGHEST_SPEED = 1e6;
  private static final double NANOS_PER_MICRO = 1_000.0;

  /** Checks the speed. */
  public Pace {
    if (!(speed > 0 && speed <= HIGHEST_SPEED)) {
      throw new IllegalArgumentException(
          "The speed of a live run is " + speed + "; it must be above 0 and at most 1000000.");
    }
  }

  /**
   * Site time at a reading of the wall clock.
   *
   * @param wallNanos ns on the clock of the start
   * @return µs since the Unix epoch
   */
  public long siteAt(long wallNanos) {
    return siteStartMicros
        + (long) Math.floor((wallNanos - wallStartNanos) * speed / NANOS_PER_MICRO);
  }

  /**
   * How long after a reading of the wall clock a site instant comes.
   *
   * @param siteMicros µs since the Unix epoch
   * @param wallNanos ns on the clock of the start
   * @return ns, 0 when the instant has come
   */
  public long nanosUntil(long siteMicros, long wallNanos) {
    double wait =
        Math.ceil((siteMicros - siteStartMicros) * NANOS_PER_MICRO / speed)
            - (wallNanos - wallStartNanos);
    return wait <= 0 ? 0 : (long) wait;
  }
}
