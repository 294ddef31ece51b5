package islet.plant;

/** Sun and air over time. An implementation is a pure function of time, whatever it caches. */
public interface Weather {

  /**
   * Samples the weather.
   *
   * @param epochMicros µs since 1970-01-01T00:00Z
   * @param sky filled with the result
   */
  void sample(long epochMicros, Sky sky);

  /**
   * The next instant, later than the given one, at which the weather may jump rather than drift.
   *
   * @param epochMicros µs since 1970-01-01T00:00Z
   * @return µs since 1970-01-01T00:00Z, or {@link Long#MAX_VALUE} when it never does
   */
  default long nextChangeMicros(long epochMicros) {
    return Long.MAX_VALUE;
  }
}
