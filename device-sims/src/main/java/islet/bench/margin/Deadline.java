package islet.bench.margin;

/**
 * ◇[a,b] p with p true or false: something comes true at or after a and no later than b. The margin
 * is a time: b less the instant at which it came true, so late is negative.
 */
public final class Deadline {

  private final long from;
  private final long deadline;
  private boolean holds;
  private long heldSince;
  private long metAt = -1;
  private long end;

  /** A monitor; both instants in microseconds. */
  public Deadline(long fromMicros, long deadlineMicros) {
    from = fromMicros;
    deadline = deadlineMicros;
    end = fromMicros;
  }

  /** Whether it holds from this instant on. */
  public void update(long micros, boolean nowHolds) {
    if (metAt >= 0) {
      return;
    }
    settle(micros);
    if (nowHolds && !holds) {
      heldSince = micros;
    }
    holds = nowHolds;
  }

  /** Something that is over at once, such as a message, happened at this instant. */
  public void happened(long micros) {
    if (metAt < 0 && micros >= from) {
      metAt = micros;
    }
  }

  /** The run ends; what holds then still counts. */
  public void finish(long endMicros) {
    end = endMicros;
    if (metAt < 0) {
      settle(endMicros + 1);
    }
  }

  /** What held until just before this instant counts, if that was at or after the beginning. */
  private void settle(long micros) {
    if (holds && micros > from && micros > heldSince) {
      metAt = Math.max(heldSince, from);
    }
  }

  /** Whether it came true in time. */
  public boolean met() {
    return metAt >= 0 && metAt <= deadline;
  }

  /** When it came true, or −1 when it never did. */
  public long metAt() {
    return metAt;
  }

  /**
   * Seconds before the deadline at which it came true. When it never did, as late as the end of the
   * run, and by a microsecond at least when the run ended before the deadline.
   */
  public double marginS() {
    long margin = metAt >= 0 ? deadline - metAt : Math.min(deadline - end, -1);
    return margin / 1e6;
  }
}
