package islet.contract;

/** Whether an order may still be obeyed, judged by the receiver's own clock. */
public enum Lifetime {
  /** It may. */
  GOOD,
  /** It came after its lifetime. */
  OVER,
  /** It is dated so far ahead that its lifetime would mean nothing. */
  AHEAD;

  /**
   * How far ahead of the receiver's clock an order may be dated, in microseconds. Clocks kept by
   * network time agree to a tenth of a second (common practice); two seconds are generous to that,
   * and lengthen the life of an order by no more.
   */
  public static final long MOST_AHEAD_MICROS = 2_000_000;

  /** What the answer to an order says that came too late. */
  public static final String OVER_REASON = "older than its lifetime";

  /** What the answer to an order says that is dated ahead. */
  public static final String AHEAD_REASON =
      "dated more than 2 s ahead of the receiver's clock; set the clocks right";

  /**
   * Judges an order.
   *
   * @param now the receiver's clock, microseconds since 1970
   * @param at the sender's clock when the order was given, microseconds since 1970
   * @param lifetimeS how long from then it is good for, s
   */
  public static Lifetime of(long now, long at, double lifetimeS) {
    if (now > at + Math.round(lifetimeS * 1e6)) {
      return OVER;
    }
    return at > now + MOST_AHEAD_MICROS ? AHEAD : GOOD;
  }
}
