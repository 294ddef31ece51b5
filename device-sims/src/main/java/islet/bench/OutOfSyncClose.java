package islet.bench;

import islet.site.GridProfile.SyncLimits;
import java.util.Optional;

/**
 * The tie closes with both sides live and too far apart in voltage, frequency or angle: any
 * instance counts. The limits are the profile's (IEEE Std 1547-2018, Table 5, from memory). Closing
 * onto a side below 0.1 pu is dead-bus closing and has nothing to be in step with.
 *
 * <p>A closing contact cannot be called back for its travel and the time in which the tie sees a
 * loss. A difference that has come about within that time, as by a phase jump of the utility, is
 * judged as it would have been without.
 *
 * <p>□ (close ∧ both sides live → |ΔV| ≤ V ∧ |Δf| ≤ F ∧ |Δθ| ≤ Θ) (see {@link HazardNote}).
 */
final class OutOfSyncClose implements Hazard {

  static final String ID = "out-of-sync-close";

  /** Below this a side is dead; residual voltage of motors lies below (common practice). */
  static final double DEAD_PU = 0.1;

  private final SyncLimits limits;
  private final boolean joins;
  private final LastLook lastLook;
  private boolean contact;
  private boolean started;
  private boolean bothLive;
  private double apartPu;
  private double apartHz;
  private double apartDeg;
  private Finding worst;

  /**
   * The hazard.
   *
   * @param committedMicros how long before its contact touches a closing cannot be called back
   */
  OutOfSyncClose(SyncLimits limits, boolean joins, long committedMicros) {
    lastLook = new LastLook(committedMicros);
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
    if (truth.contactClosed) {
      lastLook.forget();
    } else if (joins) {
      lastLook.take(
          truth.micros(),
          truth.get(Signal.MAIN_VOLTAGE),
          truth.get(Signal.CRITICAL_VOLTAGE),
          truth.apartHz,
          truth.apartDeg);
    }
    contact = truth.contactClosed;
    started = true;
    double utilityPu = truth.get(Signal.MAIN_VOLTAGE);
    double islandPu = truth.get(Signal.CRITICAL_VOLTAGE);
    bothLive = utilityPu >= DEAD_PU && islandPu >= DEAD_PU;
    apartPu = islandPu - utilityPu;
    apartHz = truth.apartHz;
    apartDeg = truth.apartDeg;
  }

  private void closed(Truth truth) {
    long micros = truth.micros();
    double deltaPu = truth.closeIslandPu - truth.closeUtilityPu;
    double deltaHz = truth.closeDeltaHz;
    double deltaDeg = truth.closeDeltaDeg;
    if (lastLook.bothLive(micros)) {
      deltaPu = owed(deltaPu, lastLook.deltaPu(), limits.voltagePu());
      deltaHz = owed(deltaHz, lastLook.deltaHz(), limits.frequencyHz());
      deltaDeg = owed(deltaDeg, lastLook.deltaDeg(micros), limits.angleDeg());
    }
    Finding tightest =
        compared(micros, deltaPu, limits.voltagePu(), "pu")
            .tighter(compared(micros, deltaHz, limits.frequencyHz(), "Hz"))
            .tighter(compared(micros, deltaDeg, limits.angleDeg(), "°"));
    worst = worst.tighter(tightest);
  }

  /** Beyond the limit, yet within it had nothing happened since the close was bound to come. */
  private static double owed(double met, double foreseen, double limit) {
    return Math.abs(met) > limit && Math.abs(foreseen) <= limit ? foreseen : met;
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
  public Optional<Distance> distance(long micros) {
    if (!joins || !started || contact || !bothLive) {
      return Optional.empty();
    }
    return Distance.nearer(
        ifItClosed(apartDeg, limits.angleDeg(), "°"),
        Distance.nearer(
            ifItClosed(apartHz, limits.frequencyHz(), "Hz"),
            ifItClosed(apartPu, limits.voltagePu(), "pu")));
  }

  private static Optional<Distance> ifItClosed(double difference, double limit, String unit) {
    double left = limit - Math.abs(difference);
    return Optional.of(
        new Distance(
            left / limit,
            left,
            unit,
            "If the tie closed now: its sides are "
                + Amount.of(Math.abs(difference), unit)
                + " apart; allowed are "
                + Amount.of(limit, unit)
                + "."));
  }

  @Override
  public Finding finding() {
    return worst;
  }
}
