package islet.plant;

/** A load's power over time at nominal voltage, constant between jumps. */
public sealed interface LoadProfile permits ConstantLoad, DailyLoad, HourlyLoad, RefrigeratorLoad {

  /**
   * Power at nominal voltage.
   *
   * @param epochMicros µs since 1970-01-01T00:00Z
   * @return W, zero or above
   */
  double powerW(long epochMicros);

  /**
   * The next instant, later than the given one, at which the power may jump.
   *
   * @param epochMicros µs since 1970-01-01T00:00Z
   * @return µs since 1970-01-01T00:00Z, or {@link Long#MAX_VALUE} when it never does
   */
  long nextChangeMicros(long epochMicros);
}
