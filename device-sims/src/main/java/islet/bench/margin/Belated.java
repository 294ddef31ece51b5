package islet.bench.margin;

/**
 * A predicate's left time robustness as it stood a while ago: a change counts only once it is older
 * than the lag. For what cannot be called back any more when the change comes.
 */
public final class Belated {

  /** More changes than this within one lag, and the oldest count before they are old enough. */
  private static final int MOST = 32;

  private final long lagMicros;
  private final LeftTime counted = new LeftTime();
  private final long[] at = new long[MOST];
  private final boolean[] holds = new boolean[MOST];
  private boolean started;
  private boolean last;
  private int first;
  private int waiting;

  /**
   * A predicate with a lag.
   *
   * @param lagMicros how old a change must be to count, in microseconds
   */
  public Belated(long lagMicros) {
    this.lagMicros = lagMicros;
  }

  /** As {@link LeftTime#update(long, boolean, long)}. */
  public void update(long micros, boolean nowHolds, long knownMicros) {
    if (!started) {
      started = true;
      last = nowHolds;
      counted.update(micros, nowHolds, knownMicros);
      return;
    }
    settle(micros);
    if (nowHolds == last) {
      return;
    }
    if (waiting == MOST) {
      count();
    }
    last = nowHolds;
    int next = (first + waiting++) % MOST;
    at[next] = micros;
    holds[next] = nowHolds;
  }

  private void settle(long micros) {
    while (waiting > 0 && micros - at[first] > lagMicros) {
      count();
    }
  }

  private void count() {
    counted.update(at[first], holds[first], 0);
    first = (first + 1) % MOST;
    waiting--;
  }

  /** The robustness at an instant no earlier than the last update, in seconds. */
  public double atS(long micros) {
    settle(micros);
    return counted.atS(micros);
  }
}
