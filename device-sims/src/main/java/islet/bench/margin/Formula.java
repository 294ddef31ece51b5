package islet.bench.margin;

/**
 * A formula of signal temporal logic. It hears its parts piece by piece, and hands on its own
 * margin in the same way as soon as it is decided: in the order of time, without gaps, and {@link
 * #horizonMicros} behind what its predicates have been told.
 *
 * <p>A formula is part of one other, or is judged by one {@link Always}; whoever needs it twice
 * makes it twice.
 */
public abstract sealed class Formula permits Predicate, Not, Pair, Within {

  /** Somebody who hears a margin: it has this value at each microsecond from begin to end − 1. */
  interface Hears {
    void piece(long begin, long end, double value);
  }

  private static final Hears NOBODY = (begin, end, value) -> {};

  private Hears hears = NOBODY;

  Formula() {}

  /** How far past an instant the run must be known until the margin there is decided, µs. */
  public abstract long horizonMicros();

  final void toldTo(Hears whole) {
    if (hears != NOBODY) {
      throw new IllegalStateException(
          "a formula was made part of two others; allowed is one: make it twice");
    }
    hears = whole;
  }

  final void tell(long begin, long end, double value) {
    hears.piece(begin, end, value);
  }
}
