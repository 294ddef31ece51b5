package islet.bench;

import islet.bench.margin.LongestStay;
import islet.site.GridProfile;
import islet.site.GridProfile.Trip;
import java.util.List;
import java.util.Optional;

/**
 * The site energises a utility that is dead or out of band.
 *
 * <p>Dead: the longest time that the utility's line carries our voltage while its source is open is
 * the profile's detection time, and never more than 2 s (IEEE Std 1547-2018, 8.1, from memory). Out
 * of band: the inverter may feed through the closed tie for the clearing time of each voltage and
 * frequency limit of the profile.
 *
 * <p>□ ◇[0,T] ¬dead-line-fed ∧ ⋀ᵢ □ ◇[0,Tᵢ] ¬(feeding ∧ beyond limit i) (see {@link HazardNote}).
 */
final class Backfeed implements Hazard {

  static final String ID = "backfeed";

  /** No profile may allow a dead line to be fed for longer (IEEE Std 1547-2018, 8.1, memory). */
  private static final double HARD_STOP_S = 2;

  /** Below this the line carries nothing that a meter or a person would notice. */
  private static final double NOTHING_V = 1;

  /** Below this the inverter only idles on the utility's voltage. */
  private static final double NOTHING_W = 1;

  private final LongestStay dead;
  private final Trip[] trips;
  private final LongestStay[] outOfBand;
  private double highestV;

  Backfeed(GridProfile profile) {
    dead = new LongestStay(Amount.micros(Math.min(profile.islandDetectionS(), HARD_STOP_S)));
    List<Trip> listed = profile.trips();
    trips = listed.toArray(new Trip[0]);
    outOfBand = new LongestStay[trips.length];
    for (int i = 0; i < trips.length; i++) {
      outOfBand[i] = new LongestStay(Amount.micros(trips[i].clearingS()));
    }
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Feeding a dead or out-of-band utility";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    boolean ours = !truth.utilitySourceLive && truth.causedLineV > NOTHING_V;
    dead.update(micros, ours);
    if (ours) {
      highestV = Math.max(highestV, truth.causedLineV);
    }
    boolean feeding =
        truth.utilitySourceLive && truth.contactClosed && truth.inverterOutW > NOTHING_W;
    for (int i = 0; i < trips.length; i++) {
      outOfBand[i].update(micros, feeding && passed(trips[i], truth));
    }
  }

  /**
   * The voltage counts where the site meets the utility (reference point of applicability, IEEE Std
   * 1547-2018, 4.2, from memory); behind the service nobody at the site can see it.
   */
  private static boolean passed(Trip trip, Truth truth) {
    return switch (trip.quantity()) {
      case OVER_VOLTAGE -> truth.get(Signal.MAIN_VOLTAGE) > trip.limit();
      case UNDER_VOLTAGE -> truth.get(Signal.MAIN_VOLTAGE) < trip.limit();
      case OVER_FREQUENCY -> truth.utilitySourceHz > trip.limit();
      case UNDER_FREQUENCY -> truth.utilitySourceHz < trip.limit();
    };
  }

  @Override
  public void finish(long endMicros) {
    dead.finish(endMicros);
    for (LongestStay stay : outOfBand) {
      stay.finish(endMicros);
    }
  }

  @Override
  public Finding finding() {
    Finding finding = deadFinding();
    for (int i = 0; i < trips.length; i++) {
      LongestStay stay = outOfBand[i];
      if (stay.entered()) {
        finding =
            finding.tighter(
                Stays.finding(
                    stay,
                    "The inverter fed a utility beyond "
                        + trips[i].name()
                        + " for "
                        + Amount.of(stay.longestS(), "s")
                        + "; allowed are "
                        + Amount.of(stay.boundS(), "s")
                        + "."));
      }
    }
    return finding;
  }

  @Override
  public Optional<Distance> distance(long micros) {
    Optional<Distance> nearest =
        Stays.distance(dead, micros, "The utility's dead line has carried this site's voltage");
    for (int i = 0; i < trips.length; i++) {
      nearest =
          Distance.nearer(
              nearest,
              Stays.distance(
                  outOfBand[i],
                  micros,
                  "The inverter has fed a utility beyond " + trips[i].name()));
    }
    return nearest;
  }

  private Finding deadFinding() {
    if (!dead.entered()) {
      return Finding.idle(
          dead.boundS(), "s", "The site never fed a utility that was dead or out of band.");
    }
    return Stays.finding(
        dead,
        "The utility's dead line carried up to "
            + Amount.of(highestV, "V")
            + " from this site for "
            + Amount.of(dead.longestS(), "s")
            + "; allowed are "
            + Amount.of(dead.boundS(), "s")
            + ".");
  }
}
