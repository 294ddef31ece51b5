package islet.bench.margin;

/** φ ∨ ψ: the higher margin of the two. */
public final class Or extends Pair {

  /** At least one of them. */
  public Or(Formula left, Formula right) {
    super(left, right);
  }

  @Override
  void both(long begin, long end, double leftValue, double rightValue) {
    tell(begin, end, Math.max(leftValue, rightValue));
  }
}
