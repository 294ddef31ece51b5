package islet.control;

import islet.contract.GridState;
import islet.site.GridProfile;
import islet.site.GridProfile.EnterService;
import islet.site.GridProfile.Trip;
import islet.site.Site;

/**
 * Tells what the utility is worth: gone, outside the limits but to be ridden through, out, back but
 * not yet qualified, qualified. Limits, clearing times and the criteria to enter service come from
 * the site's profile (IEEE Std 1547-2018, clauses 4.10, 6.4 and 6.5 for the shipped ones).
 *
 * <p>Works on the samples that it is given; a limit passed and left between two samples is not
 * seen, which is why the devices report every change of voltage and frequency at once.
 */
final class GridQualification {

  private static final long NOT = Long.MAX_VALUE;

  private final Trip[] trips;
  private final long[] clearingMicros;
  private final long[] since;
  private final EnterService enter;
  private final long delayMicros;
  private final double goneBelowPu;
  private final double separateBelowPu;
  private long inBandSince = NOT;
  private boolean out;
  private GridState state = GridState.UNKNOWN;

  GridQualification(Site site) {
    GridProfile profile = site.profile();
    trips = profile.trips().toArray(new Trip[0]);
    clearingMicros = new long[trips.length];
    since = new long[trips.length];
    for (int i = 0; i < trips.length; i++) {
      clearingMicros[i] = micros(trips[i].clearingS());
      since[i] = NOT;
    }
    enter = profile.enter();
    delayMicros = micros(enter.delayS());
    goneBelowPu = site.goneBelowPu();
    separateBelowPu =
        switch (site.supervision().onSag()) {
          case SEPARATE -> site.tie().map(Site.Tie::separateBelowPu).orElse(0.0);
          case RIDE_THROUGH -> 0;
        };
  }

  static long micros(double seconds) {
    return Math.round(seconds * 1e6);
  }

  /** Takes a measurement of the utility side, per unit and Hz, and judges it at this instant. */
  void measure(double voltagePu, double frequencyHz, long now) {
    boolean gone = voltagePu < goneBelowPu;
    boolean outside = false;
    boolean cleared = gone || voltagePu < separateBelowPu;
    for (int i = 0; i < trips.length; i++) {
      if (violated(trips[i], voltagePu, frequencyHz)) {
        outside = true;
        if (since[i] == NOT) {
          since[i] = now;
        }
        if (now - since[i] >= clearingMicros[i]) {
          cleared = true;
        }
      } else {
        since[i] = NOT;
      }
    }
    boolean inBand = inBand(voltagePu, frequencyHz);
    if (!inBand) {
      inBandSince = NOT;
    } else if (inBandSince == NOT) {
      inBandSince = now;
    }
    if (cleared) {
      out = true;
    } else if (inBand) {
      out = false;
    }
    if (gone) {
      state = GridState.GONE;
    } else if (out) {
      state = GridState.OUT;
    } else if (outside) {
      state = GridState.RIDING;
    } else {
      state =
          inBand && now - inBandSince >= delayMicros ? GridState.QUALIFIED : GridState.RETURNING;
    }
  }

  /**
   * What was seen between two scans: an excursion that is over already still begins the delay anew.
   */
  void passed(double lowestPu, double highestPu, double lowestHz, double highestHz) {
    if (!inBand(lowestPu, lowestHz) || !inBand(highestPu, highestHz)) {
      inBandSince = NOT;
    }
  }

  /** The tie has opened by its own protection: something was wrong, even if nobody saw it. */
  void tripped() {
    inBandSince = NOT;
  }

  private boolean inBand(double voltagePu, double frequencyHz) {
    return voltagePu >= enter.minimumPu()
        && voltagePu <= enter.maximumPu()
        && frequencyHz >= enter.minimumHz()
        && frequencyHz <= enter.maximumHz();
  }

  /** No fresh measurement: nothing is known, and the delay starts anew. */
  void blind() {
    inBandSince = NOT;
    state = GridState.UNKNOWN;
  }

  private static boolean violated(Trip trip, double voltagePu, double frequencyHz) {
    return switch (trip.quantity()) {
      case OVER_VOLTAGE -> voltagePu > trip.limit();
      case UNDER_VOLTAGE -> voltagePu < trip.limit();
      case OVER_FREQUENCY -> frequencyHz > trip.limit();
      case UNDER_FREQUENCY -> frequencyHz < trip.limit();
    };
  }

  GridState state() {
    return state;
  }

  /** Neither gone nor outside the limits for longer than the clearing time. */
  boolean present() {
    return switch (state) {
      case RIDING, RETURNING, QUALIFIED -> true;
      case UNKNOWN, GONE, OUT -> false;
    };
  }

  boolean lost() {
    return switch (state) {
      case GONE, OUT -> true;
      case UNKNOWN, RIDING, RETURNING, QUALIFIED -> false;
    };
  }

  boolean qualified() {
    return state == GridState.QUALIFIED;
  }

  void remember(Memory memory) {
    for (int i = 0; i < since.length; i++) {
      since[i] = memory.instant(trips[i].name(), since[i]);
    }
    inBandSince = memory.instant("in band", inBandSince);
    out = memory.flag("out", out);
  }

  /** For how long it has held the enter-service band, µs; −1 while it does not. */
  long inBandMicros(long now) {
    return inBandSince == NOT ? -1 : now - inBandSince;
  }

  /** For how long it must. */
  long delayMicros() {
    return delayMicros;
  }

  /**
   * For how long it has been beyond the limit whose clearing time is over first, µs; −1 while it is
   * beyond none, or counts as lost already.
   */
  long beyondMicros(long now) {
    int first = firstToClear(now);
    return first < 0 ? -1 : now - since[first];
  }

  /** How long it may be, µs; 0 while it is beyond none. */
  long beyondLimitMicros(long now) {
    int first = firstToClear(now);
    return first < 0 ? 0 : clearingMicros[first];
  }

  private int firstToClear(long now) {
    int first = -1;
    if (state == GridState.RIDING) {
      long least = Long.MAX_VALUE;
      for (int i = 0; i < since.length; i++) {
        if (since[i] != NOT && clearingMicros[i] - (now - since[i]) < least) {
          least = clearingMicros[i] - (now - since[i]);
          first = i;
        }
      }
    }
    return first;
  }

  /** Seconds until the delay has run, the whole delay while it has not begun. */
  double qualifiedInS(long now) {
    long left = inBandSince == NOT ? delayMicros : Math.max(0, delayMicros - (now - inBandSince));
    return left * 1e-6;
  }
}
