package islet.bench.margin;

/**
 * □ ◇[0,T] (margin ≥ 0): a bound may be passed, yet not for longer than T. The margin is the lowest
 * value that lasted longer than T; a shorter dip does not count, however deep.
 *
 * <p>Only windows that the run holds whole are judged, so an excursion that is still young at the
 * end of the run is not held against it. The highest value within the sliding window is kept by the
 * monotone queue of D. Lemire, "Streaming maximum-minimum filter using no more than three
 * comparisons per element", Nordic Journal of Computing 13, 2006.
 */
public final class Sustained {

  private final long window;

  // A ring of values that fall from front to back, each with the instants at which it began and
  // ended; the capacity is a power of two.
  private double[] values = new double[16];
  private long[] begins = new long[16];
  private long[] ends = new long[16];
  private int front;
  private int size;

  private boolean started;
  private long firstWhole;
  private long at;
  private double current;
  private long frontSince;
  private double lowest = Double.POSITIVE_INFINITY;
  private long lowestAt = -1;
  private long violatedAt = -1;

  /**
   * A monitor.
   *
   * @param windowMicros T in microseconds, 0 or more
   */
  public Sustained(long windowMicros) {
    if (windowMicros < 0) {
      throw new IllegalArgumentException(
          "the window of a monitor is " + windowMicros + " µs; allowed is 0 or more");
    }
    window = windowMicros;
  }

  /**
   * Takes the value from this instant on; +∞ is a time without obligation.
   *
   * @throws IllegalArgumentException when the value is not a number
   */
  public void update(long micros, double value) {
    if (Double.isNaN(value)) {
      throw new IllegalArgumentException("a monitor was given a value that is not a number");
    }
    if (!started) {
      started = true;
      firstWhole = micros + window;
    } else if (value == current) {
      return;
    } else if (micros > at) {
      settle(micros);
    }
    at = micros;
    current = value;
  }

  /** The run ends; its last instant still counts. */
  public void finish(long endMicros) {
    if (started) {
      settle(Math.max(at, endMicros) + 1);
    }
  }

  /** The current value held until just before {@code until}: judges all windows that end there. */
  private void settle(long until) {
    while (size > 0 && values[back()] <= current) {
      size--;
    }
    if (size == 0) {
      frontSince = at;
    }
    push(until);
    consider(until);
    // A window that ends at u reaches back to u − T. It has lost a value whose last microsecond
    // lies before that.
    while (ends[front] < until - window) {
      long lostAt = ends[front] + window;
      front = front + 1 & values.length - 1;
      size--;
      frontSince = Math.max(lostAt, begins[front]);
      consider(until);
    }
  }

  /** The front has been the highest of the window since some instant: judges that level. */
  private void consider(long until) {
    long since = Math.max(frontSince, firstWhole);
    double level = values[front];
    if (since < until && level < lowest) {
      lowest = level;
      lowestAt = since;
      if (level < 0 && violatedAt < 0) {
        violatedAt = since;
      }
    }
  }

  private int back() {
    return front + size - 1 & values.length - 1;
  }

  private void push(long until) {
    if (size == values.length) {
      grow();
    }
    size++;
    int place = back();
    values[place] = current;
    begins[place] = at;
    ends[place] = until;
  }

  private void grow() {
    int capacity = values.length;
    double[] moreValues = new double[capacity * 2];
    long[] moreBegins = new long[capacity * 2];
    long[] moreEnds = new long[capacity * 2];
    for (int i = 0; i < size; i++) {
      int from = front + i & capacity - 1;
      moreValues[i] = values[from];
      moreBegins[i] = begins[from];
      moreEnds[i] = ends[from];
    }
    values = moreValues;
    begins = moreBegins;
    ends = moreEnds;
    front = 0;
  }

  /** The margin in the signal's unit; +∞ when there never was an obligation. */
  public double margin() {
    return lowest;
  }

  /** When the margin first was at its lowest, or −1 when there never was an obligation. */
  public long lowestAt() {
    return lowestAt;
  }

  /** The first instant at which the bound had been passed for longer than T, or −1. */
  public long violatedAt() {
    return violatedAt;
  }
}
