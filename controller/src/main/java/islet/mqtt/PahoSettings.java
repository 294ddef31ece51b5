package islet.mqtt;

/**
 * How a port keeps its link.
 *
 * @param keepAliveSeconds keep-alive interval, 1 s or more; a silent loss is noticed by the broker
 *     after one and a half of it (OASIS MQTT Version 5.0, 3.1.2.10, from memory)
 * @param connectSeconds how long an attempt to connect may take before it is given up, 1 s or more
 * @param sessionExpirySeconds how long the broker keeps subscriptions and QoS 1 messages for a
 *     client that is away, 0 s or more
 * @param firstRetryMillis the pause before the first attempt to come back, 1 ms or more
 * @param longestRetryMillis the pause doubles with each failure up to this, ms
 * @param access who the client says it is, and whom it believes
 */
public record PahoSettings(
    int keepAliveSeconds,
    int connectSeconds,
    int sessionExpirySeconds,
    long firstRetryMillis,
    long longestRetryMillis,
    Access access) {

  /**
   * What a site needs: a lost link is seen within seconds, a broker that comes back is found within
   * a quarter of a minute, and a fleet does not storm it. Common practice.
   */
  public static final PahoSettings USUAL = new PahoSettings(5, 5, 3_600, 250, 15_000);

  /** Checks the ranges. */
  public PahoSettings {
    atLeast("keep-alive", keepAliveSeconds, 1, "s");
    atLeast("time limit for connecting", connectSeconds, 1, "s");
    atLeast("session expiry", sessionExpirySeconds, 0, "s");
    atLeast("first pause before reconnecting", firstRetryMillis, 1, "ms");
    atLeast("longest pause before reconnecting", longestRetryMillis, firstRetryMillis, "ms");
  }

  /** Settings of a client that says nothing of itself. */
  public PahoSettings(
      int keepAliveSeconds,
      int connectSeconds,
      int sessionExpirySeconds,
      long firstRetryMillis,
      long longestRetryMillis) {
    this(
        keepAliveSeconds,
        connectSeconds,
        sessionExpirySeconds,
        firstRetryMillis,
        longestRetryMillis,
        Access.NONE);
  }

  /** The same for a client that says who it is. */
  public PahoSettings with(Access other) {
    return new PahoSettings(
        keepAliveSeconds,
        connectSeconds,
        sessionExpirySeconds,
        firstRetryMillis,
        longestRetryMillis,
        other);
  }

  private static void atLeast(String what, long value, long least, String unit) {
    if (value < least) {
      throw new IllegalArgumentException(
          "The "
              + what
              + " of the MQTT port is "
              + value
              + " "
              + unit
              + "; it must be "
              + least
              + " "
              + unit
              + " or more.");
    }
  }
}
