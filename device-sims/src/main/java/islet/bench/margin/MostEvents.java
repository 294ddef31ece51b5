package islet.bench.margin;

/**
 * □ (events of the last T ≤ N): something may happen, yet not too often. The margin is a count: N
 * less the most events that any window of T held.
 *
 * <p>A window ends with an event, itself included, and is open where it begins: two events exactly
 * T apart are in no common window. More than {@value #MOST} in one window are told as so many.
 */
public final class MostEvents {

  /** A window never counts more; a power of two. */
  public static final int MOST = 4_096;

  private final int bound;
  private final long window;
  private long[] instants = new long[16];
  private int front;
  private int size;
  private int most;
  private long mostAt = -1;
  private long violatedAt = -1;

  /**
   * A monitor.
   *
   * @param bound N, the most events allowed
   * @param windowMicros T in microseconds, more than 0
   */
  public MostEvents(int bound, long windowMicros) {
    if (windowMicros <= 0) {
      throw new IllegalArgumentException(
          "the window of a monitor is " + windowMicros + " µs; allowed is more than 0");
    }
    this.bound = bound;
    window = windowMicros;
  }

  /** It has happened once. */
  public void happened(long micros) {
    while (size > 0 && instants[front] <= micros - window) {
      front = front + 1 & instants.length - 1;
      size--;
    }
    if (size == MOST) {
      return;
    }
    if (size == instants.length) {
      grow();
    }
    instants[front + size++ & instants.length - 1] = micros;
    if (size > most) {
      most = size;
      mostAt = micros;
      if (size > bound && violatedAt < 0) {
        violatedAt = micros;
      }
    }
  }

  private void grow() {
    long[] more = new long[instants.length * 2];
    for (int i = 0; i < size; i++) {
      more[i] = instants[front + i & instants.length - 1];
    }
    instants = more;
    front = 0;
  }

  /** How many events the window holds that ends at an instant no earlier than the last event. */
  public int within(long micros) {
    int count = 0;
    for (int i = 0; i < size; i++) {
      if (instants[front + i & instants.length - 1] > micros - window) {
        count++;
      }
    }
    return count;
  }

  /** The most events that a window held. */
  public int most() {
    return most;
  }

  /** The most events allowed. */
  public int bound() {
    return bound;
  }

  /** Events left to the bound; negative when it was passed. */
  public int margin() {
    return bound - most;
  }

  /** When the fullest window was first so full, or −1 when nothing ever happened. */
  public long mostAt() {
    return mostAt;
  }

  /** The first event too many, or −1. */
  public long violatedAt() {
    return violatedAt;
  }
}
