package islet.control;

import islet.contract.GridState;

/**
 * How surely the utility will be there. Outages are taken to come and go as in a Markov chain of
 * two states (the usual model of a repairable supply): they begin at a rate and end at a rate, both
 * counted from what this site has seen and from a first guess, so that
 *
 * <pre>
 * P(there at t, and until t + w) = P(there at t) · exp(-beginning · w)
 * P(there at t) = A + (now - A) · exp(-(beginning + ending) · t),  A = ending / (beginning + ending)
 * </pre>
 *
 * <p>with {@code now} 1 or 0. What was seen fades: after a season it counts for a third.
 */
final class UtilityTrust {

  /**
   * The first guess counts like a year in which the utility was gone one and a half times for two
   * hours each, about what utilities publish under IEEE Std 1366 without major events (from
   * memory).
   */
  private static final double GUESSED_HOURS = 8760;

  private static final double GUESSED_OUTAGES = 1.5;
  private static final double GUESSED_OUT_HOURS = 3;

  /** What was seen fades with this time constant, h: 90 days, a season. */
  private static final double FADES_HOURS = 90 * 24;

  /** Shorter interruptions are momentary (IEEE Std 1366, from memory) and spoil no charging. */
  private static final long MOMENTARY_MICROS = 300_000_000;

  private static final long MINUTE = 60_000_000;

  private double hours;
  private double outages;
  private double outHours;
  private long lastAt = Inputs.NEVER;
  private long goneSince = Long.MAX_VALUE;
  private boolean counted;

  /** Watches the utility for a scan. */
  void watch(GridState state, long now) {
    boolean gone =
        switch (state) {
          case GONE, OUT -> true;
          case RIDING, RETURNING, QUALIFIED -> false;
          // Who sees nothing learns nothing: an outage that was running runs on.
          case UNKNOWN -> goneSince != Long.MAX_VALUE;
        };
    if (!gone) {
      goneSince = Long.MAX_VALUE;
      counted = false;
    } else {
      goneSince = Math.min(goneSince, now);
      if (!counted && now - goneSince >= MOMENTARY_MICROS) {
        counted = true;
        outages++;
        outHours += MOMENTARY_MICROS / 3.6e9;
      }
    }
    if (now - lastAt < MINUTE && now >= lastAt) {
      return;
    }
    // After a gap nothing is known of what passed meanwhile, and so no hour is counted.
    double passed = now < lastAt || now - lastAt > 2 * MINUTE ? 0 : (now - lastAt) / 3.6e9;
    lastAt = now;
    double left = StrictMath.exp(-passed / FADES_HOURS);
    hours = hours * left + passed;
    outages *= left;
    outHours = outHours * left + (counted ? passed : 0);
  }

  /** How often an outage begins while the utility is there, 1/h. */
  double beginning() {
    double there = Math.max(1, hours + GUESSED_HOURS - outHours - GUESSED_OUT_HOURS);
    return (outages + GUESSED_OUTAGES) / there;
  }

  /** How long an outage lasts in the mean, h. */
  double meanHours() {
    return (outHours + GUESSED_OUT_HOURS) / (outages + GUESSED_OUTAGES);
  }

  /**
   * How surely the utility is there in some hours and stays for some more, 0 to 1.
   *
   * @param inHours until then, from 0
   * @param forHours how long it is needed, from 0
   */
  double confidence(double inHours, double forHours) {
    double begin = beginning();
    double end = 1 / meanHours();
    double mean = end / (begin + end);
    double present = goneSince == Long.MAX_VALUE ? 1 : 0;
    double there = mean + (present - mean) * StrictMath.exp(-(begin + end) * inHours);
    return there * StrictMath.exp(-begin * forHours);
  }

  /** What has been seen outlives a restart. */
  void keep(Keepsake keepsake) {
    hours = Math.max(0, keepsake.estimate("utility watched", hours));
    outages = Math.max(0, keepsake.estimate("utility outages", outages));
    outHours = Math.max(0, keepsake.estimate("utility out", outHours));
  }

  void remember(Memory memory) {
    hours = memory.number("utility watched", hours);
    outages = memory.number("utility outages", outages);
    outHours = memory.number("utility out", outHours);
    lastAt = memory.instant("utility watched at", lastAt);
    goneSince = memory.instant("utility gone", goneSince);
    counted = memory.flag("outage counted", counted);
  }
}
