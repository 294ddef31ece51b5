package islet.bench;

import java.util.Arrays;

/**
 * The clock of a rehearsal: a 64-bit count of microseconds since the Unix epoch and one ordered
 * queue of due work. Time stands still while work runs and jumps to the next due instant after it,
 * so a day takes as long as its work takes and not longer.
 *
 * <p>The order is total. Work due earlier runs earlier; of two works due at the same instant the
 * one of lower rank runs first; of two with the same rank, the one that was put in first. Work that
 * is put in for the present instant while that instant is being served still runs at that instant,
 * in its place among what is left.
 *
 * <p>The queue is a binary heap (Williams, Algorithm 232, Communications of the ACM 7, 1964) on
 * primitive arrays. Each timer knows its place in the heap, so that arming it anew or cancelling it
 * leaves nothing behind. Arming a {@link Timer} allocates nothing, and {@link #at} re-uses its
 * entries.
 *
 * <p>Not safe for several threads: the one thread that calls {@link #runUntil} owns the queue.
 */
public final class VirtualTime {

  /** Rank of changes at the utility: the world outside changes first. */
  public static final int UTILITY = 0;

  /** Rank of the plant's steps: physics answers before anybody measures it. */
  public static final int PLANT = 1;

  /** Rank of device firmware. */
  public static final int DEVICE = 2;

  /** Rank of messages arriving: what has come by an instant is there when a scan looks. */
  public static final int BROKER = 3;

  /** Rank of the controller's scans. */
  public static final int CONTROLLER = 4;

  /** Rank of hazards, expectations and the scenario's own book-keeping. */
  public static final int BENCH = 5;

  /** Rank of the recorder, which writes down what the instant has come to. */
  public static final int RECORDER = 6;

  /** What {@link #nextDue()} says when nothing is due at all. */
  public static final long NEVER = Long.MAX_VALUE;

  private static final int HIGHEST_RANK = 127;

  /** The rank stands above 56 bits of insertion count: 7e16 insertions before it could overflow. */
  private static final int RANK_SHIFT = 56;

  /** Fills the places of the arrays that nothing uses, so that no finished work is held on to. */
  private final Timer vacant = new Timer(0, VirtualTime::nothing, false);

  private long[] dues = new long[64];
  private long[] orders = new long[64];
  private Timer[] timers = new Timer[64];
  private int size;

  private Timer[] spares = new Timer[64];
  private int spareCount;

  private long now;
  private long insertions;
  private boolean running;

  /**
   * Starts a clock.
   *
   * @param startMicros the first instant, in microseconds since the Unix epoch
   */
  public VirtualTime(long startMicros) {
    now = startMicros;
    Arrays.fill(timers, vacant);
    Arrays.fill(spares, vacant);
  }

  /** The present instant, in microseconds since the Unix epoch. */
  public long now() {
    return now;
  }

  /** The instant of the earliest work in the queue, or {@link #NEVER} when there is none. */
  public long nextDue() {
    return size == 0 ? NEVER : dues[0];
  }

  /**
   * Puts in work to run once.
   *
   * @param micros when, in microseconds since the Unix epoch, not before now
   * @param rank its place among works of the same instant, 0 (first) to 127
   * @throws IllegalArgumentException when the instant has passed or the rank is out of range
   */
  public void at(long micros, int rank, Runnable work) {
    checkRank(rank);
    checkInstant(micros);
    Timer timer = spareCount == 0 ? new Timer(rank, work, true) : spares[--spareCount];
    timer.rank = rank;
    timer.work = work;
    timer.arm(micros);
  }

  /**
   * Makes a timer, unarmed. Its work runs once for each arming.
   *
   * @param rank its place among works of the same instant, 0 (first) to 127
   */
  public Timer timer(int rank, Runnable work) {
    checkRank(rank);
    return new Timer(rank, work, false);
  }

  /**
   * Runs everything that is due up to and at an instant, then stands at that instant. An exception
   * thrown by work is passed on; the work that threw is out of the queue and the rest is still in
   * it.
   *
   * @param micros microseconds since the Unix epoch; an instant before now runs nothing
   * @throws IllegalStateException when called from work that this clock runs
   */
  public void runUntil(long micros) {
    enter();
    try {
      while (size > 0 && dues[0] <= micros) {
        runFirst();
      }
    } finally {
      running = false;
    }
    now = Math.max(now, micros);
  }

  /**
   * Runs the first work of the queue if it is due by an instant, for a driver that has something to
   * look at between two works. Time then stands at the work's instant.
   *
   * @param latest microseconds since the Unix epoch
   * @return whether there was such work
   * @throws IllegalStateException when called from work that this clock runs
   */
  public boolean runNext(long latest) {
    if (size == 0 || dues[0] > latest) {
      return false;
    }
    enter();
    try {
      runFirst();
    } finally {
      running = false;
    }
    return true;
  }

  private void enter() {
    if (running) {
      throw new IllegalStateException(
          "Virtual time was asked to run from inside work that it is running. "
              + "Put the work in the queue instead.");
    }
    running = true;
  }

  private void runFirst() {
    Timer timer = timers[0];
    now = dues[0];
    remove(0);
    Runnable work = timer.work;
    if (timer.once) {
      recycle(timer);
    }
    work.run();
  }

  private void recycle(Timer timer) {
    timer.work = VirtualTime::nothing;
    if (spareCount == spares.length) {
      spares = Arrays.copyOf(spares, spareCount * 2);
      Arrays.fill(spares, spareCount, spares.length, vacant);
    }
    spares[spareCount++] = timer;
  }

  private void insert(Timer timer, long due, long order) {
    if (size == dues.length) {
      grow();
    }
    siftUp(size++, timer, due, order);
  }

  private void remove(int place) {
    timers[place].place = Timer.UNARMED;
    int last = --size;
    Timer timer = timers[last];
    timers[last] = vacant;
    if (place != last) {
      reinsert(place, timer, dues[last], orders[last]);
    }
  }

  /** Puts an entry into a hole of the heap, whichever way it has to go from there. */
  private void reinsert(int place, Timer timer, long due, long order) {
    if (place > 0 && before(due, order, (place - 1) >>> 1)) {
      siftUp(place, timer, due, order);
    } else {
      siftDown(place, timer, due, order);
    }
  }

  private void siftUp(int from, Timer timer, long due, long order) {
    int hole = from;
    while (hole > 0) {
      int parent = (hole - 1) >>> 1;
      if (!before(due, order, parent)) {
        break;
      }
      move(parent, hole);
      hole = parent;
    }
    put(hole, timer, due, order);
  }

  private void siftDown(int from, Timer timer, long due, long order) {
    int hole = from;
    int firstLeaf = size >>> 1;
    while (hole < firstLeaf) {
      int child = 2 * hole + 1;
      int right = child + 1;
      if (right < size && before(dues[right], orders[right], child)) {
        child = right;
      }
      if (before(due, order, child)) {
        break;
      }
      move(child, hole);
      hole = child;
    }
    put(hole, timer, due, order);
  }

  private boolean before(long due, long order, int other) {
    return due < dues[other] || (due == dues[other] && order < orders[other]);
  }

  private void move(int from, int to) {
    put(to, timers[from], dues[from], orders[from]);
  }

  private void put(int place, Timer timer, long due, long order) {
    dues[place] = due;
    orders[place] = order;
    timers[place] = timer;
    timer.place = place;
  }

  private void grow() {
    int larger = size * 2;
    dues = Arrays.copyOf(dues, larger);
    orders = Arrays.copyOf(orders, larger);
    timers = Arrays.copyOf(timers, larger);
    Arrays.fill(timers, size, larger, vacant);
  }

  private static void nothing() {}

  private void checkInstant(long micros) {
    if (micros < now) {
      throw new IllegalArgumentException(
          "Work was put in for "
              + micros
              + " µs, which is "
              + (now - micros)
              + " µs before now. Work is due now or later.");
    }
  }

  private static void checkRank(int rank) {
    if (rank < 0 || rank > HIGHEST_RANK) {
      throw new IllegalArgumentException(
          "The rank of due work is " + rank + "; it must be from 0 to " + HIGHEST_RANK + ".");
    }
  }

  /** Work that can be put in the queue again and again without allocation. */
  public final class Timer {

    private static final int UNARMED = -1;

    private final boolean once;
    private int rank;
    private Runnable work;
    private int place = UNARMED;

    private Timer(int rank, Runnable work, boolean once) {
      this.rank = rank;
      this.work = work;
      this.once = once;
    }

    /**
     * Lets the work run at an instant. A timer that is armed already is moved there and counts as
     * put in anew.
     *
     * @param micros microseconds since the Unix epoch, not before now
     * @throws IllegalArgumentException when the instant has passed
     */
    public void arm(long micros) {
      checkInstant(micros);
      long order = ((long) rank << RANK_SHIFT) | insertions++;
      if (place == UNARMED) {
        insert(this, micros, order);
      } else {
        reinsert(place, this, micros, order);
      }
    }

    /** Takes the work out of the queue, if it is in. */
    public void cancel() {
      if (place != UNARMED) {
        remove(place);
      }
    }

    /** Whether the work is in the queue. */
    public boolean armed() {
      return place != UNARMED;
    }
  }
}
