package islet.device;

import islet.contract.TieTrip;
import java.util.Arrays;
import java.util.List;

/** Watches voltage and frequency against limits, each with its clearing time. */
final class LimitWatch {

  private static final double DEAD_PU = 0.1;

  private final Limit[] limits;
  private final long[] clearing;
  private final long[] since;
  private boolean violated;
  private TieTrip cause = TieTrip.NONE;

  /**
   * A watch.
   *
   * @param earlierMicros how much earlier it must speak than the clearing time ends: what its owner
   *     needs to act
   */
  LimitWatch(List<Limit> limits, long earlierMicros) {
    this.limits = limits.toArray(new Limit[0]);
    clearing = new long[this.limits.length];
    since = new long[clearing.length];
    for (int i = 0; i < clearing.length; i++) {
      clearing[i] = Math.max(0, SimulatedDevice.micros(this.limits[i].clearingS()) - earlierMicros);
    }
    reset();
  }

  /** Whether some limit has been passed for as long as it may; {@link #cause()} says which kind. */
  boolean passed(double voltagePu, double frequencyHz, long now) {
    violated = false;
    boolean passed = false;
    for (int i = 0; i < limits.length; i++) {
      Limit limit = limits[i];
      // A dead line has no frequency to judge.
      double value = limit.ofVoltage() ? voltagePu : voltagePu < DEAD_PU ? Double.NaN : frequencyHz;
      boolean beyond = limit.above() ? value > limit.limit() : value < limit.limit();
      since[i] = beyond ? Math.min(since[i], now) : SimulatedDevice.NEVER;
      violated |= beyond;
      if (!passed && beyond && now - since[i] >= clearing[i]) {
        passed = true;
        cause = limit.cause();
      }
    }
    return passed;
  }

  /** Whether a limit is violated at present, for however short a time. */
  boolean violated() {
    return violated;
  }

  /** The kind of the limit that was passed last. */
  TieTrip cause() {
    return cause;
  }

  /** Forgets what has been violated so far. */
  void reset() {
    Arrays.fill(since, SimulatedDevice.NEVER);
    violated = false;
  }

  /** The sooner of an instant and the next end of a clearing time. */
  long sooner(long next, long now) {
    long soonest = next;
    for (int i = 0; i < since.length; i++) {
      if (since[i] != SimulatedDevice.NEVER) {
        soonest = SimulatedDevice.sooner(soonest, since[i] + clearing[i], now);
      }
    }
    return soonest;
  }
}
