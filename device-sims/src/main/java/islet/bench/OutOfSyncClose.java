package islet.bench;

import islet.site.GridProfile.SyncLimits;

/**
 * The tie closes with both sides live and too far apart in voltage, frequency or angle: any
 * instance counts. The limits are the profile's (IEEE Std 1547-2018, Table 5, from memory). Closing
 * onto a side below 0.1 pu is dead-bus closing and has nothing to be in step with.
 *
 * <p>□ (close ∧ both sides live → |ΔV| ≤ V ∧ |Δf| ≤ F ∧ |Δθ| ≤ Θ) (see {@link HazardNote}).
 */
final class OutOfSyncClose implements Hazard {

  static final String ID = "out-of-sync-close";

  /** Below this a side is dead; residual voltage of motors lies below (common practice). */
  static final double DEAD_PU = 0.1;

  private final SyncLimits limits;
  private final boolean joins;
  private boolean contact;
  private boolean started;
  private Finding worst;

  OutOfSyncClose(SyncLimits limits, boolean joins) {
    this.joins = joins;
    this.limits = limits;
    this.worst =
        Finding.idle(
            limits.angleDeg(),
            "°",
            joins
                ? "The tie never closed between two sides that were both live."
                : "Nothing in this arrangement joins two sources.");
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Tie closed out of step";
  }

  @Override
  public void truth(Truth truth) {
    if (joins
        && started
        && truth.contactClosed
        && !contact
        && truth.closeUtilityPu >= DEAD_PU
        && truth.closeIslandPu >= DEAD_PU) {
      closed(truth);
    }
    contact = truth.contactClosed;
    started = true;
  }

  private void closed(Truth truth) {
    long micros = truth.micros();
    Finding tightest =
        compared(micros, truth.closeIslandPu - truth.closeUtilityPu, limits.voltagePu(), "pu")
            .tighter(compared(micros, truth.closeDeltaHz, limits.frequencyHz(), "Hz"))
            .tighter(compared(micros, truth.closeDeltaDeg, limits.angleDeg(), "°"));
    worst = worst.tighter(tightest);
  }

  private static Finding compared(long micros, double difference, double limit, String unit) {
    double margin = limit - Math.abs(difference);
    return new Finding(
        margin / limit,
        margin,
        unit,
        margin < 0,
        micros,
        "The tie closed across "
            + Amount.of(Math.abs(difference), unit)
            + "; allowed are "
            + Amount.of(limit, unit)
            + ".");
  }

  @Override
  public Finding finding() {
    return worst;
  }
}
