package islet.bench.defect;

import islet.site.Dispatch;
import islet.site.GridProfile;
import islet.site.GridProfile.EnterService;
import islet.site.Site;
import islet.site.Site.Battery;
import islet.site.Site.Charge;
import islet.site.Site.ChargeWindow;
import islet.site.Site.Limits;
import islet.site.Site.Place;
import islet.site.Site.Supervision;
import islet.site.Site.Tie;
import islet.site.Site.Timeouts;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;

/** A site with one part changed, as a slip in its settings or in the code that reads them would. */
final class SiteSlips {

  private SiteSlips() {}

  private static Site with(
      Site s, Place place, GridProfile profile, Battery battery, Supervision supervision) {
    return with(s, place, profile, battery, s.tie(), supervision);
  }

  private static Site with(
      Site s,
      Place place,
      GridProfile profile,
      Battery battery,
      Optional<Tie> tie,
      Supervision supervision) {
    return new Site(
        s.id(),
        s.name(),
        place,
        s.arrangement(),
        s.utility(),
        profile,
        s.pv(),
        s.regulator(),
        battery,
        s.charger(),
        s.inverter(),
        tie,
        s.changeover(),
        s.circuits(),
        supervision,
        s.tariff());
  }

  /** With other criteria to enter service. */
  static Site enter(Site s, EnterService enter) {
    GridProfile p = s.profile();
    GridProfile changed =
        new GridProfile(
            p.name(),
            p.source(),
            p.trips(),
            enter,
            p.sync(),
            p.islandDetectionS(),
            p.cessationBelowPu());
    return with(s, s.place(), changed, s.battery(), s.supervision());
  }

  /** With other limits of the battery. */
  static Site limits(Site s, Limits limits) {
    Battery b = s.battery();
    return battery(s, limits, b.charge());
  }

  /** With other charge set points. */
  static Site charge(Site s, Charge charge) {
    return battery(s, s.battery().limits(), charge);
  }

  private static Site battery(Site s, Limits limits, Charge charge) {
    Battery b = s.battery();
    Battery changed =
        new Battery(
            b.chemistry(),
            b.nominalV(),
            b.cells(),
            b.capacity20hAh(),
            b.cableOhm(),
            b.roomMinimumC(),
            limits,
            charge,
            b.management());
    return with(s, s.place(), s.profile(), changed, s.supervision());
  }

  /** In another time zone. */
  static Site zone(Site s, ZoneId zone) {
    Place p = s.place();
    Place changed = new Place(p.latitudeDeg(), p.longitudeDeg(), p.altitudeM(), p.albedo(), zone);
    return with(s, changed, s.profile(), s.battery(), s.supervision());
  }

  /** With another tie. */
  static Site tie(Site s, Optional<Tie> tie) {
    return with(s, s.place(), s.profile(), s.battery(), tie, s.supervision());
  }

  /** With other time-outs. */
  static Site timeouts(Site site, Timeouts timeouts) {
    Supervision s = site.supervision();
    return supervision(site, s.linkTimeoutS(), s.chargeWindows(), timeouts, s.dispatch());
  }

  /** With another dispatch. */
  static Site dispatch(Site site, Dispatch dispatch) {
    Supervision s = site.supervision();
    return supervision(site, s.linkTimeoutS(), s.chargeWindows(), s.timeouts(), dispatch);
  }

  /** With other charge windows. */
  static Site chargeWindows(Site site, List<ChargeWindow> windows) {
    Supervision s = site.supervision();
    return supervision(site, s.linkTimeoutS(), windows, s.timeouts(), s.dispatch());
  }

  /** With another link time-out, s. */
  static Site linkTimeout(Site site, double seconds) {
    Supervision s = site.supervision();
    return supervision(site, seconds, s.chargeWindows(), s.timeouts(), s.dispatch());
  }

  private static Site supervision(
      Site site,
      double linkTimeoutS,
      List<ChargeWindow> windows,
      Timeouts timeouts,
      Dispatch dispatch) {
    Supervision s = site.supervision();
    Supervision changed =
        new Supervision(
            s.scanS(),
            s.heartbeatS(),
            linkTimeoutS,
            s.commandLifetimeS(),
            s.coordination(),
            s.onSag(),
            s.reserveSoc(),
            windows,
            s.shedding(),
            s.shedBelowSoc(),
            s.restoreAboveSoc(),
            timeouts,
            s.reserveWindows(),
            dispatch);
    return with(site, site.place(), site.profile(), site.battery(), changed);
  }
}
