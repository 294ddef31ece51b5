package islet.bench.reserve;

/**
 * One outage and how long the emergency panel lived in it.
 *
 * @param startMicros when the utility went, microseconds since 1970
 * @param micros how long the panel lived, or was watched living, microseconds
 * @param end why no longer time is told
 */
public record Outage(long startMicros, long micros, End end) {

  /** How an outage's account ends. */
  public enum End {
    /** The emergency panel went dark. */
    DARK,
    /** It lived for seven days, and nobody looked further. */
    SURVIVED,
    /** The span was over before the panel went dark. */
    CUT
  }
}
