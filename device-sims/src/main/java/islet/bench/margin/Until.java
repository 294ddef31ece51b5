package islet.bench.margin;

/**
 * φ U[a,b] ψ: ψ comes from a to b later, and φ holds from now until then, that instant included.
 * The margin is the highest, over the instants t′ of the window, of the lower of ψ at t′ and the
 * lowest φ from now to t′.
 *
 * <p>Up to a the lowest φ is kept by a monotone queue. From a to b each piece is a pair (lowest φ,
 * margin of the until that begins with it), and two pairs in a row make one: (min(φ₁, φ₂), max(u₁,
 * min(φ₁, u₂))). That is associative, so a queue of two stacks gives the pair of the whole window
 * at a constant number of steps for each piece (common practice for sliding windows).
 */
public final class Until extends Pair {

  private final long from;
  private final long to;

  /** φ from now to a later; values rise from front to back. */
  private final PieceQueue wedge = new PieceQueue();

  /** φ of the pieces that begin more than a later, on their way to the wedge. */
  private final PieceQueue ahead = new PieceQueue();

  // The pieces of the window: a ring, its older part with the pair of each piece and all older
  // ones' successors up to the middle, its younger part as it came with one pair for all of it.
  private long[] ends = new long[16];
  private double[] lows = new double[16];
  private double[] untils = new double[16];
  private int front;
  private int middle;
  private int back;
  private double youngLow = Double.POSITIVE_INFINITY;
  private double youngUntil = Double.NEGATIVE_INFINITY;

  private boolean started;
  private long next;

  /**
   * One until the other.
   *
   * @param fromMicros a, 0 or more
   * @param toMicros b, a or more
   */
  public Until(Formula left, Formula right, long fromMicros, long toMicros) {
    super(left, right);
    Span.check(fromMicros, toMicros);
    from = fromMicros;
    to = toMicros;
  }

  @Override
  public long horizonMicros() {
    return super.horizonMicros() + to;
  }

  @Override
  void both(long begin, long end, double leftValue, double rightValue) {
    if (!started) {
      started = true;
      next = begin;
    }
    ahead.add(begin, end, leftValue);
    push(end, leftValue, Math.min(leftValue, rightValue));
    long decided = end - to;
    while (next < decided) {
      while (!ahead.isEmpty() && ahead.begin() <= next + from) {
        while (!wedge.isEmpty() && wedge.lastValue() > ahead.value()) {
          wedge.removeLast();
        }
        wedge.add(ahead.begin(), ahead.end(), ahead.value());
        ahead.removeFirst();
      }
      while (wedge.end() <= next) {
        wedge.removeFirst();
      }
      while (ends[front] <= next + from) {
        pop();
      }
      // A piece enters the wedge when the one before it leaves the front of the window.
      long until = Math.min(decided, Math.min(wedge.end(), ends[front] - from));
      tell(next, until, Math.min(wedge.value(), window()));
      next = until;
    }
  }

  private double window() {
    return front == middle
        ? youngUntil
        : Math.max(untils[front], Math.min(lows[front], youngUntil));
  }

  private void push(long end, double low, double until) {
    if ((back + 1 & ends.length - 1) == front) {
      grow();
    }
    ends[back] = end;
    lows[back] = low;
    untils[back] = until;
    back = back + 1 & ends.length - 1;
    youngUntil = Math.max(youngUntil, Math.min(youngLow, until));
    youngLow = Math.min(youngLow, low);
  }

  private void pop() {
    if (front == middle) {
      turn();
    }
    front = front + 1 & ends.length - 1;
  }

  /** All that is young becomes old: each piece gets the pair of itself and its successors. */
  private void turn() {
    double low = Double.POSITIVE_INFINITY;
    double until = Double.NEGATIVE_INFINITY;
    int place = back;
    while (place != front) {
      place = place - 1 & ends.length - 1;
      until = Math.max(untils[place], Math.min(lows[place], until));
      low = Math.min(lows[place], low);
      lows[place] = low;
      untils[place] = until;
    }
    middle = back;
    youngLow = Double.POSITIVE_INFINITY;
    youngUntil = Double.NEGATIVE_INFINITY;
  }

  private void grow() {
    turn();
    int capacity = ends.length;
    long[] moreEnds = new long[capacity * 2];
    double[] moreLows = new double[capacity * 2];
    double[] moreUntils = new double[capacity * 2];
    int size = back - front & capacity - 1;
    for (int i = 0; i < size; i++) {
      int place = front + i & capacity - 1;
      moreEnds[i] = ends[place];
      moreLows[i] = lows[place];
      moreUntils[i] = untils[place];
    }
    middle = size;
    ends = moreEnds;
    lows = moreLows;
    untils = moreUntils;
    front = 0;
    back = size;
  }
}
