package islet.bench.margin;

/**
 * A formula of two parts. What one of them has told ahead of the other is kept until the other has
 * come as far: never more than the difference of their horizons holds.
 */
abstract sealed class Pair extends Formula permits And, Or, Until {

  private final Formula left;
  private final Formula right;
  private final PieceQueue lefts = new PieceQueue();
  private final PieceQueue rights = new PieceQueue();

  Pair(Formula left, Formula right) {
    this.left = left;
    this.right = right;
    left.toldTo(
        (begin, end, value) -> {
          lefts.extend(begin, end, value);
          meet();
        });
    right.toldTo(
        (begin, end, value) -> {
          rights.extend(begin, end, value);
          meet();
        });
  }

  private void meet() {
    while (!lefts.isEmpty() && !rights.isEmpty()) {
      long begin = Math.max(lefts.begin(), rights.begin());
      long end = Math.min(lefts.end(), rights.end());
      if (begin < end) {
        both(begin, end, lefts.value(), rights.value());
      }
      lefts.cut(end);
      rights.cut(end);
    }
  }

  /** Both parts have these margins from begin to end − 1. */
  abstract void both(long begin, long end, double leftValue, double rightValue);

  @Override
  public long horizonMicros() {
    return Math.max(left.horizonMicros(), right.horizonMicros());
  }
}
