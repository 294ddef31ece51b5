package islet.device;

/**
 * Adds up overloads of changing size and says when they have been borne for long enough: each
 * instant takes its share of the time that its load may last, and time below the rating gives it
 * back. Firmware's usual picture of a warm junction (common practice).
 */
public final class OverloadBudget {
  /** Loads a little above the rating count as rated: measuring is no better. */
  private static final double PICK_UP = 1.02;

  /** An empty budget is full again after this time below the rating, s (common practice). */
  private static final double RECOVERY_S = 60;

  /** Sums of shares end a rounding short of one. */
  private static final double SPENT = 1 - 1e-9;

  private final SurgeCurve curve;
  private final double ratedVa;
  private double used;
  private double perMicro;
  private long since;

  /**
   * A full budget.
   *
   * @param curve how long an overload is borne
   * @param ratedVa what may be given for ever by a cold stage, VA
   * @param now the present instant, microseconds since 1970
   */
  public OverloadBudget(SurgeCurve curve, double ratedVa, long now) {
    this.curve = curve;
    this.ratedVa = ratedVa;
    since = now;
  }

  /**
   * Takes note of a load that holds from now on.
   *
   * @param loadVa load, VA at nominal voltage
   * @param ratingVa what may be given for ever at present; less than rated when hot
   * @return whether the budget is spent
   */
  public boolean spent(double loadVa, double ratingVa, long now) {
    used = Math.max(0, used + perMicro * (now - since));
    since = now;
    if (loadVa > PICK_UP * ratingVa) {
      // A hot stage bears what a cold one bears at a load higher by as much as its rating is lower.
      double asCold = ratingVa > 0 ? loadVa * ratedVa / ratingVa : Double.MAX_VALUE;
      perMicro = 1e-6 / curve.seconds(asCold);
      return used >= SPENT;
    }
    perMicro = -1e-6 / RECOVERY_S;
    return false;
  }

  /** When the budget will be spent if the load stays, or {@link Long#MAX_VALUE}. */
  public long spentAt() {
    return perMicro > 0
        ? since + (long) Math.ceil((SPENT - used) / perMicro)
        : SimulatedDevice.NEVER;
  }
}
