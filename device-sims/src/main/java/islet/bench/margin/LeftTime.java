package islet.bench.margin;

/**
 * The left time robustness of a predicate, as Donzé and Maler define it: for how long it has been
 * as it is, positive while it holds and negative while it does not. So much earlier the same
 * question would have had the same answer.
 */
public final class LeftTime {

  private boolean started;
  private boolean holds;
  private long since;

  /**
   * Takes what is so from this instant on; of several at one instant the last counts.
   *
   * @param knownMicros for how long it has been so before the first instant, 0 or more
   */
  public void update(long micros, boolean nowHolds, long knownMicros) {
    if (!started) {
      started = true;
      since = micros - knownMicros;
      holds = nowHolds;
    } else if (nowHolds != holds) {
      holds = nowHolds;
      since = micros;
    }
  }

  /** The robustness at an instant no earlier than the last update, in seconds. */
  public double atS(long micros) {
    return (holds ? micros - since : since - micros) / 1e6;
  }
}
