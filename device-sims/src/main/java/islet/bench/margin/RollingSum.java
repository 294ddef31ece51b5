package islet.bench.margin;

import java.util.Arrays;

/**
 * □ (∫ of the last T ≤ E): a rate may run, yet not add up to more than E within any T. The margin
 * is an amount: E less the most that any window held.
 *
 * <p>A window is {@value #PARTS} equal parts of time and moves on by one part at a time, so that it
 * is never longer than T and shorter by less than a part.
 */
public final class RollingSum {

  private static final int PARTS = 24;

  private final double bound;
  private final long part;
  private final double[] sums = new double[PARTS];
  private boolean started;
  private long at;
  private long index;
  private double rate;
  private double before;
  private double most;
  private long mostAt = -1;
  private long violatedAt = -1;

  /**
   * A monitor.
   *
   * @param bound E, in the rate's unit times seconds
   * @param windowMicros T in microseconds, a multiple of {@value #PARTS}
   */
  public RollingSum(double bound, long windowMicros) {
    if (windowMicros <= 0 || windowMicros % PARTS != 0) {
      throw new IllegalArgumentException(
          "the window of a monitor is "
              + windowMicros
              + " µs; allowed is a multiple of "
              + PARTS
              + " above 0");
    }
    this.bound = bound;
    part = windowMicros / PARTS;
  }

  /**
   * Takes the rate from this instant on.
   *
   * @param perSecond 0 or more
   */
  public void update(long micros, double perSecond) {
    if (!(perSecond >= 0)) {
      throw new IllegalArgumentException(
          "a monitor was given a rate of " + perSecond + "; allowed is 0 or more");
    }
    if (rate > 0) {
      settle(micros);
    }
    if (!started) {
      started = true;
      index = Math.floorDiv(micros, part);
    }
    at = micros;
    rate = perSecond;
  }

  /** The run ends. */
  public void finish(long endMicros) {
    update(endMicros, rate);
  }

  /** The rate has run from the last instant until this one. */
  private void settle(long until) {
    while (at < until) {
      turnTo(Math.floorDiv(at, part));
      long end = Math.min(until, (index + 1) * part);
      int place = (int) Math.floorMod(index, (long) PARTS);
      double already = before + sums[place];
      sums[place] += rate * ((end - at) / 1e6);
      double sum = before + sums[place];
      if (sum > most) {
        most = sum;
        mostAt = end;
        if (sum > bound && violatedAt < 0) {
          violatedAt = at + (long) Math.ceil((bound - already) / rate * 1e6);
        }
      }
      at = end;
    }
  }

  private void turnTo(long next) {
    if (next == index) {
      return;
    }
    if (next - index >= PARTS) {
      Arrays.fill(sums, 0);
    } else {
      for (long i = index + 1; i <= next; i++) {
        sums[(int) Math.floorMod(i, (long) PARTS)] = 0;
      }
    }
    index = next;
    before = 0;
    for (double sum : sums) {
      before += sum;
    }
  }

  /** What the window holds that ends at an instant no earlier than the last update. */
  public double within(long micros) {
    double sum = rate * Math.max(0, micros - at) / 1e6;
    long last = started ? Math.floorDiv(Math.max(micros, at), part) : 0;
    for (long i = Math.max(index, last) - PARTS + 1; started && i <= index; i++) {
      if (i > index - PARTS) {
        sum += sums[(int) Math.floorMod(i, (long) PARTS)];
      }
    }
    return sum;
  }

  /** The most that a window held. */
  public double most() {
    return most;
  }

  /** The most allowed. */
  public double bound() {
    return bound;
  }

  /** What is left to the bound; negative when it was passed. */
  public double margin() {
    return bound - most;
  }

  /** When a window was fullest, or −1 when nothing ever ran. */
  public long mostAt() {
    return mostAt;
  }

  /** The instant at which the bound was first passed, or −1. */
  public long violatedAt() {
    return violatedAt;
  }
}
