package islet.bench;

import islet.bench.VoltageEnvelope.Band;
import islet.bench.margin.LongestStay;
import islet.contract.InverterState;
import islet.site.GridProfile.Trip;
import islet.site.Site;
import islet.site.Site.OnSag;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The emergency panel is outside its voltage envelope although there is energy for it and a healthy
 * path to bring it there.
 *
 * <p>The bound is the ITI (CBEMA) envelope of {@link VoltageEnvelope}. Where the site chooses to
 * ride sags and swells through for the utility's sake, the profile's voltage limits and clearing
 * times are the bound while the tie is closed, and the detail says so. That holds as well when the
 * source is gone and the site's own feed keeps the line above the voltage at which the utility
 * counts as gone: nothing at the site can tell that from a sag, and what ends it is the hazard of
 * backfeed. When energy or path come back while the panel is out, the panel must be back within the
 * time that the site's own time-outs give a start: opening, starting and forming. The same holds
 * for as long after a fault within has tripped the inverter, which rests before it is started
 * again, as long as no inverter has run since the panel came back, which none can at once, and
 * while the tie's own voltmeter does not show it the utility as it is: then it cannot open by
 * itself, and the supervisor, which has the meter's word as well, must open it. Behind an open tie
 * that tells nothing readable nobody may start anything, since neither its contact nor a padlock
 * can be known: a panel that is out already is owed again when the tie can be read.
 *
 * <p>⋀ⱼ □ ◇[0,Tⱼ] ¬(owed ∧ beyond band j) ∧ □ ◇[0,R] ¬(owed again ∧ out) (see {@link HazardNote}).
 */
final class LostLoad implements Hazard {

  static final String ID = "lost-load";

  private static final long NEVER = Long.MIN_VALUE / 2;

  private final Band[] bands = VoltageEnvelope.ITIC.toArray(new Band[0]);
  private final LongestStay[] envelope = new LongestStay[bands.length];
  private final Trip[] trips;
  private final LongestStay[] rideThrough;
  private final LongestStay restart;
  private final long restartMicros;
  private final boolean ridesThrough;
  private final double goneBelowPu;

  private boolean owed;
  private boolean restarting;

  /** When the panel came back after a restart, and no inverter has run since. */
  private long barelyBackAt = NEVER;

  /** The panel is out, and nobody can know whether the tie is open. */
  private boolean unprovable;

  private boolean everOwed;

  LostLoad(Site site) {
    ridesThrough = site.supervision().onSag() == OnSag.RIDE_THROUGH;
    goneBelowPu = site.goneBelowPu();
    for (int i = 0; i < bands.length; i++) {
      envelope[i] = new LongestStay(Amount.micros(bands[i].allowedS()));
    }
    List<Trip> voltage = new ArrayList<>();
    for (Trip trip : site.profile().trips()) {
      switch (trip.quantity()) {
        case OVER_VOLTAGE, UNDER_VOLTAGE -> voltage.add(trip);
        case OVER_FREQUENCY, UNDER_FREQUENCY -> {}
      }
    }
    trips = voltage.toArray(new Trip[0]);
    rideThrough = new LongestStay[trips.length];
    for (int i = 0; i < trips.length; i++) {
      rideThrough[i] = new LongestStay(Amount.micros(trips[i].clearingS()));
    }
    Site.Timeouts timeouts = site.supervision().timeouts();
    restartMicros = Amount.micros(timeouts.openS() + timeouts.startS() + timeouts.formS());
    restart = new LongestStay(restartMicros);
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Emergency panel lost while it could have been served";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    double pu = truth.get(Signal.CRITICAL_VOLTAGE);
    boolean out = beyondSteady(pu);
    unprovable =
        !truth.tieReadable && !truth.contactClosed && out && (unprovable || restarting || !owed);
    boolean nowOwed = truth.energyAvailable && truth.pathHealthy && !unprovable;
    boolean riding =
        ridesThrough && truth.contactClosed && (truth.utilitySourceLive || pu >= goneBelowPu);
    boolean blind = !truth.tieSees && truth.contactClosed && !riding;
    boolean tripped = micros - truth.trippedAt <= restartMicros;
    if (restarting && !out) {
      barelyBackAt = micros;
    }
    if (runs((int) truth.get(Signal.INVERTER_STATE))) {
      barelyBackAt = NEVER;
    }
    boolean barely = micros - barelyBackAt <= restartMicros;
    restarting = nowOwed && out && (restarting || !owed || blind || tripped || barely);
    owed = nowOwed;
    everOwed |= owed;
    boolean byEnvelope = owed && !restarting && !riding;
    for (int i = 0; i < bands.length; i++) {
      envelope[i].update(micros, byEnvelope && bands[i].beyond(pu));
    }
    for (int i = 0; i < trips.length; i++) {
      rideThrough[i].update(micros, owed && riding && passed(trips[i], pu));
    }
    restart.update(micros, restarting);
  }

  private static boolean runs(int state) {
    return state == InverterState.FOLLOWING.ordinal()
        || state == InverterState.FORMING.ordinal()
        || state == InverterState.SYNCHRONISING.ordinal();
  }

  private static boolean beyondSteady(double pu) {
    return pu < VoltageEnvelope.STEADY_LOW_PU || pu > VoltageEnvelope.STEADY_HIGH_PU;
  }

  private static boolean passed(Trip trip, double pu) {
    return switch (trip.quantity()) {
      case OVER_VOLTAGE -> pu > trip.limit();
      case UNDER_VOLTAGE -> pu < trip.limit();
      case OVER_FREQUENCY, UNDER_FREQUENCY -> false;
    };
  }

  @Override
  public void finish(long endMicros) {
    for (LongestStay stay : envelope) {
      stay.finish(endMicros);
    }
    for (LongestStay stay : rideThrough) {
      stay.finish(endMicros);
    }
    restart.finish(endMicros);
  }

  @Override
  public Finding finding() {
    Finding finding =
        Finding.idle(
            bands[0].allowedS(),
            "s",
            everOwed
                ? "The emergency panel stayed within 0.9 to 1.1 pu whenever it could be served."
                : "There never was energy and a healthy path for the emergency panel.");
    for (int i = 0; i < bands.length; i++) {
      finding = finding.tighter(byEnvelope(bands[i], envelope[i], finding));
    }
    for (int i = 0; i < trips.length; i++) {
      finding = finding.tighter(byProfile(trips[i], rideThrough[i], finding));
    }
    if (restart.entered()) {
      finding =
          finding.tighter(
              Stays.finding(
                  restart,
                  "The emergency panel stayed out for "
                      + Amount.of(restart.longestS(), "s")
                      + " after energy and path had come back; the time-outs of a start allow "
                      + Amount.of(restart.boundS(), "s")
                      + "."));
    }
    return finding;
  }

  @Override
  public Optional<Distance> distance(long micros) {
    Optional<Distance> nearest =
        Stays.distance(
            restart,
            micros,
            "The emergency panel has been out after energy and path had come back");
    for (int i = 0; i < bands.length; i++) {
      nearest =
          Distance.nearer(
              nearest,
              Stays.distance(
                  envelope[i],
                  micros,
                  "The emergency panel has been "
                      + (bands[i].under() ? "below " : "above ")
                      + Amount.of(bands[i].limitPu(), "pu")));
    }
    for (int i = 0; i < trips.length; i++) {
      nearest =
          Distance.nearer(
              nearest,
              Stays.distance(
                  rideThrough[i],
                  micros,
                  "The emergency panel has ridden through beyond " + trips[i].name()));
    }
    return nearest;
  }

  private static Finding byEnvelope(Band band, LongestStay stay, Finding otherwise) {
    return stay.entered()
        ? Stays.finding(
            stay,
            "The emergency panel was "
                + (band.under() ? "below " : "above ")
                + Amount.of(band.limitPu(), "pu")
                + " for "
                + Amount.of(stay.longestS(), "s")
                + "; the ITI envelope allows "
                + Amount.of(stay.boundS(), "s")
                + ".")
        : otherwise;
  }

  private static Finding byProfile(Trip trip, LongestStay stay, Finding otherwise) {
    return stay.entered()
        ? Stays.finding(
            stay,
            "The site rides sags and swells through for the utility's sake, so the profile's limits"
                + " were the bound: the emergency panel was beyond "
                + trip.name()
                + " for "
                + Amount.of(stay.longestS(), "s")
                + "; allowed are "
                + Amount.of(stay.boundS(), "s")
                + ".")
        : otherwise;
  }
}
