package islet.bench.margin;

/** φ ∧ ψ: the lower margin of the two. */
public final class And extends Pair {

  /** Both of them. */
  public And(Formula left, Formula right) {
    super(left, right);
  }

  @Override
  void both(long begin, long end, double leftValue, double rightValue) {
    tell(begin, end, Math.min(leftValue, rightValue));
  }
}
