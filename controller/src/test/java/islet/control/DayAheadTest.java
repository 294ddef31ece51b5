package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.control.plan.DayPlan;
import islet.control.plan.DayPlanner;
import islet.control.plan.DayProblem;
import islet.site.Site;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZonedDateTime;
import java.util.EnumSet;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What the plan is asked, and what is read from its answer: judged by the demo site's file (prices
 * 0.11 from 0 to 6, 0.34 from 16 to 21, 0.19 else, credit 0.08, 4 kW of export and of inverter), by
 * the wall's clock, and by means worked out by hand.
 */
class DayAheadTest {

  private static final long SECOND = 1_000_000;
  private static final long HOUR = 3600 * SECOND;

  private Site site = Sites.demo();
  private final WarningBoard warnings = new WarningBoard();
  private DayAhead ahead = ahead(site);
  private BatteryEstimate battery = battery(site);
  private RoundTrip trip = new RoundTrip(site);
  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private double fullKWh = fullKWh(site);
  private long now = at("2026-01-14T15:00");

  private DayAhead ahead(Site at) {
    return new DayAhead(at, new ChargeSchedule(at, warnings, new UtilityTrust()));
  }

  private static BatteryEstimate battery(Site site) {
    BatteryEstimate battery = new BatteryEstimate(site);
    battery.keep(
        new Given().with("charge known", true).with("charge", 0.70).with("charge doubt", 0.03));
    return battery;
  }

  private static double fullKWh(Site site) {
    return 400 * CellModel.of(site.battery()).heldPerRated() * 48 / 1000;
  }

  private void at(Site other, String local) {
    site = other;
    ahead = ahead(other);
    battery = battery(other);
    trip = new RoundTrip(other);
    fullKWh = fullKWh(other);
    now = at(local);
  }

  private long at(String local) {
    return LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * SECOND;
  }

  private void meter(double criticalW, double noncriticalW) {
    in.take(
        new MeterTelemetry(0, now, 1, 60, 0, criticalW, noncriticalW, 1, 49, 0, 25, "", false),
        now);
  }

  private void sun(double amps) {
    in.take(
        new RegulatorTelemetry(0, now, 50, 25, 0, 0, amps, 0, 0, ChargeStage.BULK, true, false),
        now);
  }

  private void follow() {
    out.begin();
    ahead.follow(in, battery, trip, now, out);
  }

  /** Scans every so often, with fresh telemetry of both. */
  private void follow(double seconds, double everyS, double loadW, double amps) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      now += Math.round(everyS * SECOND);
      meter(loadW, 0);
      sun(amps);
      follow();
    }
  }

  private DayProblem asked() {
    return ahead.asked().orElseThrow();
  }

  @Test
  void theFirstQuestionWaitsAMinuteForTheMetersAndTheBattery() {
    follow();
    follow(59, 1, 800, 0);
    assertFalse(ahead.asks());
    follow(1, 1, 800, 0);
    assertTrue(ahead.asks());
    ahead.think();
    assertFalse(ahead.asks());
    follow(3538, 1, 800, 0);
    assertFalse(ahead.asks(), "15:59:58");
    follow(2, 1, 800, 0);
    assertTrue(ahead.asks(), "16:00");
  }

  @Test
  void withoutACountOfTheChargeNothingIsAsked() {
    battery = new BatteryEstimate(site);
    follow();
    follow(70, 1, 800, 0);
    assertFalse(ahead.asks());
    battery = battery(site);
    follow(1, 1, 800, 0);
    assertTrue(ahead.asks());
  }

  @Test
  void aChangeOfThePictureAsksAtOnceButNeverLater() {
    follow();
    follow(1, 1, 800, 0);
    ahead.astir(now);
    follow(1, 1, 800, 0);
    assertTrue(ahead.asks());
    ahead.think();
    follow(70, 1, 800, 0);
    assertFalse(ahead.asks(), "once is enough");
    ahead.astir(now + 10 * SECOND);
    ahead.astir(now + 30 * SECOND);
    follow(9, 1, 800, 0);
    assertFalse(ahead.asks());
    follow(1, 1, 800, 0);
    assertTrue(ahead.asks(), "the sooner of two");
  }

  // What is asked.

  @Test
  void theBatteryAndTheConvertersAreTakenAsTheyAre() {
    follow();
    follow(60, 1, 800, 0);
    DayProblem p = asked();
    assertEquals(36, p.intervals());
    assertEquals(0.67 * fullKWh, p.storedKWh, 1e-9);
    assertEquals(0.20 * fullKWh, p.means.floorKWh(), 1e-9);
    assertEquals(fullKWh, p.means.fullKWh(), 1e-9);
    assertEquals(80 * 48 / 1000.0, p.means.chargeKW(), 1e-9);
    assertEquals(4 / 0.92, p.means.dischargeKW(), 1e-9);
    assertEquals(0.70 / (0.92 * 0.92), p.means.storedShare(), 1e-9);
    assertEquals(1, p.means.givenShare());
    assertEquals(60 * 48 / 1000.0 / 0.92, p.means.rectifyKW(), 1e-9);
    assertEquals(4, p.means.invertKW(), 1e-9);
    assertEquals(0.92, p.means.rectifiedShare(), 1e-9);
    assertEquals(0.92, p.means.invertedShare(), 1e-9);
    // 0.70 comes back, 0.92 of it is lost on the way out: 0.7609 kWh arrive in the store for each.
    assertEquals(0.98 * 0.11 / (0.70 / 0.92), p.endPerKWh, 1e-9);
  }

  /** A charger stronger than the inverter's own AC side: that side is the limit. */
  @Test
  void theChargingPowerIsNeverMoreThanTheInvertersRating() {
    at(Sites.demo("inverter.ratedPower", "3 kW"), "2026-01-14T15:00");
    follow();
    follow(60, 1, 800, 0);
    assertEquals(3, asked().means.rectifyKW(), 1e-9);
    assertEquals(3 / 0.92, asked().means.dischargeKW(), 1e-9);
  }

  private double priceByTheFile(ZonedDateTime local) {
    int hour = local.getHour();
    return hour < 6 ? 0.11 : hour >= 16 && hour < 21 ? 0.34 : 0.19;
  }

  /**
   * By the clock on the wall, also on the two days on which it is changed and where it stands half
   * an hour beside the world's. Export from 10 to 12, a reserve of 80 % from 17 to 22.
   */
  @ParameterizedTest
  @CsvSource({
    "America/Chicago, 2026-01-14T15:20",
    "America/Chicago, 2026-03-07T15:20",
    "America/Chicago, 2026-10-31T15:20",
    "Asia/Kolkata, 2026-01-14T15:20",
  })
  void pricesExportAndReserveFollowTheClockOnTheWall(String zone, String local) {
    at(
        Sites.demo(
            "place.zone",
            zone,
            "supervision.dispatch",
            "{ exportWindows: [{ between: \"10:00-12:00\" }] }",
            "supervision.reserveWindows",
            "[{ between: \"17:00-22:00\", reserve: 80 % }]"),
        local);
    follow();
    follow(60, 1, 800, 0);
    DayProblem p = asked();
    assertEquals(39 / 60.0, p.hours[0], 1e-9, "from 15:21 to 16:00");
    long begin = now;
    for (int i = 0; i < 36; i++) {
      ZonedDateTime wall = Instant.ofEpochSecond(begin / SECOND).atZone(site.place().zone());
      int hour = wall.getHour();
      String when = "interval " + i + " from " + wall;
      assertEquals(priceByTheFile(wall), p.importPrice[i], when);
      assertEquals(0.08, p.exportPrice[i], when);
      assertEquals(hour == 10 || hour == 11 ? 4 : 0, p.exportKW[i], 1e-9, when);
      double reserve = hour >= 17 && hour < 22 ? 0.8 : 0.5;
      assertEquals(reserve * fullKWh, p.reserveKWh[i], 1e-9, when);
      if (i > 0) {
        assertEquals(1, p.hours[i], 1e-9, when);
        assertEquals(0, wall.getMinute(), when);
      }
      begin += Math.round(p.hours[i] * 3600) * SECOND;
    }
  }

  @Test
  void theReserveOfAWarningEndsWithIt() {
    at(Sites.demo("supervision.dispatch", "{ warning: { reserve: 90 % } }"), "2026-01-14T15:00");
    warnings.warn("storm", 3 * 3600, now, out);
    follow();
    follow(60, 1, 800, 0);
    for (int i = 0; i < 36; i++) {
      assertEquals((i < 3 ? 0.9 : 0.5) * fullKWh, asked().reserveKWh[i], 1e-9, "interval " + i);
    }
  }

  /** Weeks ago by the demo's calendar: two working days of 1 kW, two free ones of 3 kW. */
  @Test
  void aFreeDayIsExpectedToBeLikeFreeDaysAndTheSunKnowsNone() {
    Given kept = new Given();
    String dark = " w0".repeat(16).strip();
    kept.with("load day 1", "w1000000 ".repeat(24).strip())
        .with("load day 2", "w1000000 ".repeat(24).strip())
        .with("load day 3", "f3000000 ".repeat(24).strip())
        .with("load day 4", "f3000000 ".repeat(24).strip())
        .with("sun day 1", "w0 ".repeat(8) + "w2000000 ".repeat(8) + "- ".repeat(8).strip())
        .with("sun day 2", dark + " w4000000".repeat(8));
    ahead.keep(kept);
    now = at("2026-01-16T15:30"); // a Friday
    follow();
    follow(60, 1, 1000, 0);
    DayProblem p = asked();
    for (int i = 0; i < 36; i++) {
      int hour = (15 + i) % 24;
      boolean saturday = i >= 9 && i < 33;
      assertEquals(saturday || i >= 33 ? 3 : 1, p.loadKW[i], 1e-9, "interval " + i);
      double mean = hour < 8 ? 0 : hour < 16 ? 1 : 4;
      assertEquals(mean, p.sunKW[i], 1e-9, "interval " + i);
    }
  }

  // What is gathered.

  /** What has been seen of an hour is found in the text that outlives a restart. */
  private String hour(String what, String local) {
    Given kept = new Given();
    ahead.keep(kept);
    long day = LocalDateTime.parse(local).toLocalDate().toEpochDay();
    String text = (String) kept.seen(what + " day " + (Math.floorMod(day, 7L) + 1));
    return text.isEmpty() ? "-" : text.split(" ", -1)[LocalDateTime.parse(local).getHour()];
  }

  /** 15 minutes of 1 kW and 45 of 2 kW, both panels together; 20 A at 50 V from the sun. */
  @Test
  void anHourIsTheMeanOfBothPanelsAndOfWhatTheRegulatorGives() {
    follow();
    for (int i = 0; i < 3600; i++) {
      now += SECOND;
      meter(600, i < 900 ? 400 : 1400);
      sun(20);
      follow();
    }
    assertEquals("w1750000", hour("load", "2026-01-14T15:00"));
    assertEquals("w1000000", hour("sun", "2026-01-14T15:00"));
    assertEquals("-", hour("load", "2026-01-14T14:00"));
    assertEquals("-", hour("load", "2026-01-14T16:00"));
  }

  /** The sixth day from a Friday is a Thursday, so no place is taken twice. */
  @Test
  void aFreeDayIsWrittenDownAsOneExceptForTheSun() {
    now = at("2026-01-16T23:00");
    follow();
    follow(3600, 3, 1000, 10);
    follow(3600, 3, 1000, 10);
    assertEquals("w1000000", hour("load", "2026-01-16T23:00"));
    assertEquals("f1000000", hour("load", "2026-01-17T00:00"));
    assertEquals("w500000", hour("sun", "2026-01-17T00:00"));
  }

  @Test
  void backwardPowersCountAsNone() {
    follow();
    follow(3600, 1, -700, -5);
    assertEquals("w0", hour("load", "2026-01-14T15:00"));
    assertEquals("w0", hour("sun", "2026-01-14T15:00"));
  }

  /** Three seconds between scans count, more is a gap of which nothing is known. */
  @ParameterizedTest
  @CsvSource({"3, w1000000", "3.6, -"})
  void aGapBetweenScansIsNotCounted(double everyS, String seen) {
    follow();
    follow(3600, everyS, 1000, 20);
    assertEquals(seen, hour("load", "2026-01-14T15:00"));
    assertEquals(seen, hour("sun", "2026-01-14T15:00"));
  }

  @Test
  void aClockThatGoesBackCountsNoHours() {
    follow();
    follow(1200, 1, 1000, 20);
    now -= 600 * SECOND;
    meter(90_000, 0);
    sun(2000);
    follow();
    follow(3000, 1, 1000, 20);
    assertEquals("w1000000", hour("load", "2026-01-14T15:00"));
    assertEquals("w1000000", hour("sun", "2026-01-14T15:00"));
  }

  /** A meter is believed for three seconds after it spoke; 2 kW for three of 2703 s. */
  @Test
  void aSilentMeterIsNotTakenForASteadyOne() {
    follow();
    follow(2700, 1, 1000, 20);
    meter(2000, 0);
    sun(40);
    while (now < at("2026-01-14T16:00")) {
      now += SECOND;
      follow();
    }
    assertEquals("w" + Math.round(1e6 * 2706 / 2703.0), hour("load", "2026-01-14T15:00"));
    assertEquals("w" + Math.round(1e6 * 2706 / 2703.0), hour("sun", "2026-01-14T15:00"));
  }

  // What is read from the answer.

  private DayPlan thought() {
    DayPlan plan = DayPlanner.solve(asked()).orElseThrow();
    ahead.think();
    return plan;
  }

  /** A credit of 0.30 that pays what is bought at night: every wish occurs. */
  private void withCredit() {
    at(Sites.demo("tariff.exportCredit", "0.30 USD/kWh"), "2026-01-14T15:20");
    follow();
    follow(60, 1, 800, 0);
  }

  @Test
  void beforeAnAnswerNothingIsPlannedNorWished() {
    withCredit();
    assertFalse(ahead.planned(now));
    assertEquals(DayAhead.Wish.NOTHING, ahead.wish(now));
    assertEquals(0, ahead.chargeA(trip, 50, now));
    assertEquals(0, ahead.exportW(now));
    assertFalse(ahead.discharges(now));
    ahead.think();
    assertFalse(ahead.planned(now), "the next scan takes it over");
    follow(0.1, 0.1, 800, 0);
    assertTrue(ahead.planned(now));
  }

  @Test
  void eachHourHasWhatItsIntervalOfThePlanSays() {
    withCredit();
    long asked = now;
    DayPlan plan = thought();
    follow(0.1, 0.1, 800, 0);
    Set<DayAhead.Wish> seen = EnumSet.noneOf(DayAhead.Wish.class);
    boolean heldBack = false;
    long begin = asked;
    for (int i = 0; i < 36; i++) {
      long end = i == 0 ? at("2026-01-14T16:00") : begin + HOUR;
      for (long t : new long[] {begin, (begin + end) / 2, end - 1}) {
        assertTrue(ahead.planned(t));
        DayAhead.Wish wish = ahead.wish(t);
        seen.add(wish);
        assertEquals(1000 * plan.rectifyKW[i] * 0.92 / 50, ahead.chargeA(trip, 50, t), 1e-9);
        assertEquals(0, ahead.chargeA(trip, 0, t));
        assertEquals(1000 * plan.exportKW[i], ahead.exportW(t), 1e-9);
        assertEquals(plan.dischargeKW[i] > 0.02, ahead.discharges(t));
        heldBack |= !ahead.discharges(t);
        DayAhead.Wish expected =
            plan.rectifyKW[i] > 0.02
                ? DayAhead.Wish.CHARGE
                : plan.exportKW[i] > 0.02
                    ? DayAhead.Wish.EXPORT
                    : plan.invertKW[i] > 0.02 ? DayAhead.Wish.CARRY : DayAhead.Wish.NOTHING;
        assertEquals(expected, wish, "interval " + i);
      }
      begin = end;
    }
    assertTrue(heldBack, "not every hour takes from the battery");
    assertTrue(seen.contains(DayAhead.Wish.CHARGE), seen.toString());
    assertTrue(seen.contains(DayAhead.Wish.EXPORT), seen.toString());
    assertFalse(ahead.planned(begin), "after the last interval");
    assertEquals(0, ahead.exportW(begin));
    assertFalse(ahead.planned(asked - 1), "before it was asked");
  }

  /** A credit of 0.08 sells nothing: the battery carries the dear evening's loads, and rests. */
  @Test
  void withAPoorCreditTheBatteryCarriesLoadsOnly() {
    follow();
    follow(60, 1, 800, 0);
    thought();
    follow(0.1, 0.1, 800, 0);
    assertEquals(DayAhead.Wish.CARRY, ahead.wish(at("2026-01-14T18:30")));
    assertTrue(ahead.discharges(at("2026-01-14T18:30")));
    assertEquals(0, ahead.exportW(at("2026-01-14T18:30")), 1e-6);
    assertEquals(DayAhead.Wish.NOTHING, ahead.wish(at("2026-01-14T22:30")));
    assertFalse(ahead.discharges(at("2026-01-14T22:30")));
  }

  @Test
  void thePlanIsToldWithItsCostAndHowFarForecastsHaveLainOff() {
    follow();
    follow(3600, 1, 800, 0);
    ahead.think();
    follow(1, 1, 800, 0);
    follow(3600, 1, 800, 0);
    String cost =
        String.format(
            java.util.Locale.ROOT, "%.2f", DayPlanner.solve(asked()).orElseThrow().cost());
    ahead.think();
    follow(0.1, 0.1, 800, 0);
    assertEquals(1, out.events());
    assertEquals("plan", out.kind(0));
    assertEquals("MADE", out.to(0));
    assertEquals(
        "costs "
            + cost
            + " USD over 36 hours with what is left in the battery; forecasts have lain off by"
            + " 0 kW of load and 0 kW of sun",
        out.reason(0));
    follow(0.1, 0.1, 800, 0);
    assertEquals(0, out.events(), "told once");
  }

  /** 2 MW on a service of 1 MW and an inverter of 4 kW: the simplex finds no plan. */
  @Test
  void aProblemWithoutASolutionIsToldAndTheWindowsHold() {
    follow();
    follow(60, 1, 2_000_000, 0);
    ahead.think();
    follow(0.1, 0.1, 800, 0);
    assertEquals("NONE", out.to(0));
    assertEquals("no plan was found; the windows hold", out.reason(0));
    assertFalse(ahead.planned(now));
  }

  @Test
  void whoThinksWithoutAQuestionAnswersNothing() {
    ahead.think();
    follow();
    assertEquals(0, out.events());
    assertFalse(ahead.planned(now));
  }
}
