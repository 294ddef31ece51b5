package islet.bench;

import islet.site.GridProfile;
import islet.site.GridProfile.EnterService;
import islet.site.GridProfile.Quantity;
import islet.site.GridProfile.SyncLimits;
import islet.site.GridProfile.Trip;
import islet.site.Site;
import islet.site.Site.Arrangement;
import islet.site.Site.Battery;
import islet.site.Site.Charge;
import islet.site.Site.Chemistry;
import islet.site.Site.Efficiency;
import islet.site.Site.Inverter;
import islet.site.Site.Limits;
import islet.site.Site.MinuteSpan;
import islet.site.Site.Module;
import islet.site.Site.OnSag;
import islet.site.Site.Place;
import islet.site.Site.Pv;
import islet.site.Site.Regulator;
import islet.site.Site.Supervision;
import islet.site.Site.Tie;
import islet.site.Site.Timeouts;
import islet.site.Site.Utility;
import islet.site.Tariff;
import islet.site.Tariff.Band;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;

/** A site for judges: only what they look at matters. */
final class TestSites {

  static final ZoneId CHICAGO = ZoneId.of("America/Chicago");

  /** IEEE Std 1547-2018, category III: Tables 4, 5, 13 and 18 and 8.1 (from memory). */
  static final GridProfile CATEGORY_III =
      new GridProfile(
          "category III",
          "IEEE Std 1547-2018",
          List.of(
              new Trip("OV2", Quantity.OVER_VOLTAGE, 1.2, 0.16),
              new Trip("OV1", Quantity.OVER_VOLTAGE, 1.1, 13),
              new Trip("UV1", Quantity.UNDER_VOLTAGE, 0.88, 21),
              new Trip("UV2", Quantity.UNDER_VOLTAGE, 0.5, 2),
              new Trip("OF2", Quantity.OVER_FREQUENCY, 62, 0.16),
              new Trip("OF1", Quantity.OVER_FREQUENCY, 61.2, 300),
              new Trip("UF1", Quantity.UNDER_FREQUENCY, 58.5, 300),
              new Trip("UF2", Quantity.UNDER_FREQUENCY, 56.5, 0.16)),
          new EnterService(0.917, 1.05, 59.5, 60.1, 300, 300),
          new SyncLimits(0.1, 0.3, 20),
          2,
          0.5);

  /** Three bands; the last one holds the rest of the day. */
  static final Tariff TARIFF =
      Tariff.ofBands(
          "USD",
          List.of(
              new Band("night", new MinuteSpan(0, 360), 0.1, 0.05),
              new Band("evening", new MinuteSpan(960, 1260), 0.4, 0.05),
              new Band("day", new MinuteSpan(0, 1440), 0.2, 0.05)),
          0.48);

  private TestSites() {}

  static Site site(OnSag onSag) {
    Efficiency efficiency = new Efficiency(0.9, 0.94, 0.91);
    return new Site(
        "landing",
        "Landing",
        new Place(42, -88, 180, 0.2, CHICAGO),
        Arrangement.TWO_PANEL,
        new Utility(240, 60, 0.03, 0.02, 3000, 4000),
        CATEGORY_III,
        new Pv(
            new Module(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47, 3),
            4,
            6,
            35,
            180,
            Site.Sky.ISOTROPIC,
            List.of()),
        new Regulator(90, Optional.of(efficiency), 4, Site.RegulatorKind.MPPT, 0),
        new Battery(
            Chemistry.LEAD_ACID,
            48,
            24,
            400,
            0.003,
            new Limits(61.2, 80, -10, 50, 0.2, 0.3, 44.4, 50.4, 10),
            new Charge(57.6, 54, -0.096, 10800, 8, 50.4)),
        Optional.empty(),
        new Inverter(4000, 8000, 5, efficiency, 25, 60, 42, 66, 2),
        Optional.of(new Tie(0.008, 0.5, 0.004, 0.7, 0.004)),
        Optional.empty(),
        List.of(),
        new Supervision(
            0.1,
            2,
            10,
            3,
            Site.Coordination.SHARED,
            onSag,
            0.5,
            List.of(),
            List.of(),
            0.35,
            0.45,
            new Timeouts(30, 0.2, 5, 120, 0.2, 10)),
        TARIFF);
  }
}
