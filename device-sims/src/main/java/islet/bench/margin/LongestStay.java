package islet.bench.margin;

/**
 * □ ◇[0,T] ¬p with p true or false: a state may be entered, yet not be stayed in for longer than T.
 * The margin is a time: T less the longest stay.
 */
public final class LongestStay {

  private final long bound;
  private long at = Long.MIN_VALUE;
  private boolean current;
  private long since = -1;
  private long longest;
  private long longestFrom = -1;
  private long violatedAt = -1;

  /**
   * A monitor.
   *
   * @param boundMicros the longest stay allowed, in microseconds
   */
  public LongestStay(long boundMicros) {
    bound = boundMicros;
  }

  /** Whether the state holds from this instant on. */
  public void update(long micros, boolean inside) {
    if (!inside && !current) {
      return;
    }
    if (micros > at) {
      settle(micros);
      at = micros;
    }
    current = inside;
  }

  /** Judges the time up to the end of the run. */
  public void finish(long endMicros) {
    update(endMicros, current);
  }

  private void settle(long until) {
    if (!current) {
      since = -1;
      return;
    }
    if (since < 0) {
      since = at;
    }
    stayed(until - since);
  }

  private void stayed(long stay) {
    if (stay > longest) {
      longest = stay;
      longestFrom = since;
      if (stay > bound && violatedAt < 0) {
        violatedAt = since + bound;
      }
    }
  }

  /** Whether the state ever held for a while. */
  public boolean entered() {
    return longest > 0;
  }

  /** The longest stay in seconds. */
  public double longestS() {
    return longest / 1e6;
  }

  /** The longest stay allowed, in seconds. */
  public double boundS() {
    return bound / 1e6;
  }

  /** Seconds left to the bound at the longest stay. */
  public double marginS() {
    return (bound - longest) / 1e6;
  }

  /** Whether the state holds now. */
  public boolean inside() {
    return current;
  }

  /**
   * For how long it has been so, in seconds; 0 while the state does not hold.
   *
   * @param micros no earlier than the last update
   */
  public double staysS(long micros) {
    return current ? Math.max(0, micros - (since < 0 ? at : since)) / 1e6 : 0;
  }

  /** When the longest stay ended, or −1 when the state was never entered. */
  public long longestEnd() {
    return longestFrom < 0 ? -1 : longestFrom + longest;
  }

  /** The instant at which a stay first passed the bound, or −1. */
  public long violatedAt() {
    return violatedAt;
  }
}
