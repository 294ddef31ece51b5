package islet.bench.margin;

/**
 * □[a,b] φ or ◇[a,b] φ: the lowest or the highest margin from a to b later.
 *
 * <p>The extreme of the sliding window is kept by the monotone queue of D. Lemire, "Streaming
 * maximum-minimum filter using no more than three comparisons per element", Nordic Journal of
 * Computing 13, 2006, as Donzé, Ferrère and Maler propose for robustness in "Efficient robust
 * monitoring for STL", CAV 2013 (both from memory).
 */
abstract sealed class Within extends Formula permits AlwaysWithin, EventuallyWithin {

  private final Formula part;
  private final long from;
  private final long to;

  /** 1 for the highest, −1 for the lowest, which is the highest of the opposite. */
  private final double sign;

  /** Values that fall from front to back: a lower one that came before a higher never counts. */
  private final PieceQueue wedge = new PieceQueue();

  private boolean started;
  private long next;

  Within(Formula part, long fromMicros, long toMicros, double sign) {
    Span.check(fromMicros, toMicros);
    this.part = part;
    this.sign = sign;
    from = fromMicros;
    to = toMicros;
    part.toldTo(this::heard);
  }

  private void heard(long begin, long end, double partValue) {
    double value = sign * partValue;
    if (!started) {
      started = true;
      next = begin;
    }
    while (!wedge.isEmpty() && wedge.lastValue() < value) {
      wedge.removeLast();
    }
    wedge.extend(begin, end, value);
    // Decided are the instants whose windows end before this piece does.
    long decided = end - to;
    while (next < decided) {
      long leaves = wedge.end() - from;
      if (leaves <= next) {
        wedge.removeFirst();
      } else {
        long until = Math.min(decided, leaves);
        tell(next, until, sign * wedge.value());
        next = until;
      }
    }
  }

  @Override
  public final long horizonMicros() {
    return part.horizonMicros() + to;
  }
}
