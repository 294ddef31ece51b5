package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Forced;
import islet.contract.GridState;
import islet.contract.OperatorOrder;
import islet.site.Site;
import java.time.LocalDateTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Schedule and dispatch: warnings, trust in the utility, export windows, trade at high prices and
 * the hourly plan, judged by the demo site's tariff (0.11 at night, 0.34 in the evening, 0.19 else,
 * credit 0.08) and by hand arithmetic. It is 15:00 at the site when a test begins.
 */
class DispatchTest {

  private static final String DISPATCH = "supervision.dispatch";
  private static final long HOUR = 3_600_000_000L;

  private static Site site(String dispatch, String... more) {
    String[] settings = new String[more.length + 2];
    settings[0] = DISPATCH;
    settings[1] = dispatch;
    System.arraycopy(more, 0, settings, 2, more.length);
    return Sites.demo(settings);
  }

  private static FakeSite connected(String dispatch, String... more) {
    return new FakeSite(site(dispatch, more)).connected();
  }

  private static long at(Site site, String local) {
    return LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * 1_000_000L;
  }

  // Warnings.

  @Test
  void aWarningRaisesTheReserveUntilItsTimeIsOver() {
    FakeSite s = connected("{ warning: { reserve: 90 % } }");
    assertEquals(0.5, s.out.reserveSoc);
    s.ask(OperatorOrder.WARN, "storm", 60);
    s.scan();
    assertEquals("", s.out.refusal);
    assertTrue(s.out.warned);
    assertEquals(0.9, s.out.reserveSoc);
    s.seconds(1);
    assertTrue(s.out.chargeLimitA > 0, "at 72 % the utility charges towards 90 %");
    s.seconds(58.8);
    assertEquals(0.9, s.out.reserveSoc);
    s.seconds(0.4);
    assertEquals(0.5, s.out.reserveSoc);
    assertFalse(s.out.warned);
    s.seconds(1);
    assertEquals(0, s.out.chargeLimitA);
  }

  @Test
  void theAllClearTakesItBackAndNobodyElsesDoes() {
    FakeSite s = connected("{ warning: { reserve: 90 % } }");
    s.ask(OperatorOrder.WARN, "storm", 3600);
    s.scan();
    s.ask(OperatorOrder.WARN, "line-work", 7200);
    s.scan();
    s.ask(OperatorOrder.ALL_CLEAR, "flood");
    s.scan();
    assertEquals("no such warning stands", s.out.refusal);
    s.ask(OperatorOrder.ALL_CLEAR, "storm");
    s.scan();
    assertEquals(0.9, s.out.reserveSoc, "the line work is still announced");
    s.ask(OperatorOrder.ALL_CLEAR, "");
    s.scan();
    assertEquals(0.5, s.out.reserveSoc);
  }

  @ParameterizedTest
  @CsvSource({"'', 60", "storm, 0", "storm, 604801"})
  void aWarningWithoutAKeyOrATimeOrForMoreThanAWeekIsRefused(String key, double forS) {
    FakeSite s = connected("{ warning: { reserve: 90 % } }");
    s.ask(OperatorOrder.WARN, key, forS);
    s.scan();
    assertFalse(s.out.refusal.isEmpty());
    assertFalse(s.out.warned);
  }

  @Test
  void eightWarningsStandAndANinthIsRefused() {
    FakeSite s = connected("{ warning: { reserve: 90 % } }");
    for (int i = 1; i <= 9; i++) {
      s.ask(OperatorOrder.WARN, "w" + i, 3600);
      s.scan();
    }
    assertEquals("eight warnings stand already", s.out.refusal);
    s.ask(OperatorOrder.WARN, "w3", 7200);
    s.scan();
    assertEquals("", s.out.refusal, "one that stands may be given anew");
  }

  // Trust in the utility.

  /** 1.5 outages of 2 h a year: A = 0.99966, and six hours are got through with 0.99897. */
  @Test
  void withoutHistoryTheUtilityIsTrustedAsUtilitiesPublish() {
    UtilityTrust trust = new UtilityTrust();
    double begins = 1.5 / 8757;
    assertEquals(begins, trust.beginning(), 1e-12);
    assertEquals(2, trust.meanHours(), 1e-12);
    double there = 0.5 / (0.5 + begins);
    assertEquals(there * Math.exp(-6 * begins), trust.confidence(1e6, 6), 1e-12);
    assertEquals(Math.exp(-6 * begins), trust.confidence(0, 6), 1e-12);
  }

  private static long watch(UtilityTrust trust, GridState state, double hours, long from) {
    long now = from;
    for (; now < from + Math.round(hours * HOUR); now += 10_000_000) {
      trust.watch(state, now);
    }
    return now;
  }

  /** Ten outages of an hour in ten days; momentary ones of less than five minutes do not count. */
  @Test
  void outagesThatWereSeenShakeTheTrustAndFade() {
    UtilityTrust trust = new UtilityTrust();
    long now = FakeSite.START;
    for (int i = 0; i < 10; i++) {
      now = watch(trust, GridState.QUALIFIED, 22, now);
      now = watch(trust, GridState.GONE, 1, now);
      now = watch(trust, GridState.QUALIFIED, 0.9, now);
      now = watch(trust, GridState.GONE, 0.08, now);
    }
    // What is ten days old still counts for nine tenths.
    assertEquals(11, trust.beginning() * 8997, 0.7);
    assertEquals(13.0 / 11.5, trust.meanHours(), 0.05);
    double shaken = trust.confidence(12, 5);
    assertTrue(shaken < Math.exp(-5 * 11.5 / 8997) + 0.001, "confidence " + shaken);
    watch(trust, GridState.QUALIFIED, 2 * 90 * 24, now);
    assertTrue(trust.beginning() < 3.2 / 8757, "two seasons later");
  }

  /** The very moment the utility is gone it is not trusted to be there in a minute. */
  @Test
  void whileItIsGoneItIsTrustedTheMoreTheLaterOneAsks() {
    UtilityTrust trust = new UtilityTrust();
    trust.watch(GridState.GONE, FakeSite.START);
    assertEquals(0, trust.confidence(0, 0), 1e-12);
    assertEquals(1 - Math.exp(-0.5), trust.confidence(1, 0), 1e-3);
    assertTrue(trust.confidence(24, 0) > 0.99);
    trust.watch(GridState.UNKNOWN, FakeSite.START + 100_000);
    assertEquals(0, trust.confidence(0, 0), 1e-12, "who sees nothing learns nothing");
  }

  @Test
  void chargingDoesNotWaitForAWindowInWhichTheUtilityMayBeGone() {
    FakeSite s =
        connected("{ waitConfidence: 80 %, warning: { reserve: 50 %, confidence: 60 % } }");
    assertTrue(s.out.confidence > 0.99);
    s.seconds(2);
    assertEquals(0, s.out.chargeLimitA, "at 72 % it waits for the night");
    s.ask(OperatorOrder.WARN, "storm", 24 * 3600);
    s.seconds(61);
    assertEquals(0.6, s.out.confidence);
    assertEquals(40, s.out.chargeLimitA, 1e-9, "the window's current");
    s.ask(OperatorOrder.ALL_CLEAR, "");
    s.seconds(61);
    assertEquals(0, s.out.chargeLimitA);
  }

  /** The window begins in nine hours: what is over before shakes nothing. */
  @Test
  void aWarningThatEndsBeforeTheWindowDoesNotCount() {
    FakeSite s =
        connected("{ waitConfidence: 80 %, warning: { reserve: 50 %, confidence: 60 % } }");
    s.ask(OperatorOrder.WARN, "storm", 8 * 3600);
    s.seconds(61);
    assertTrue(s.out.confidence > 0.99);
    assertEquals(0, s.out.chargeLimitA);
  }

  // Export windows.

  @ParameterizedTest
  @CsvSource({
    "2026-01-14T15:59, false",
    "2026-01-14T16:00, true",
    "2026-01-14T20:59, true",
    "2026-01-14T21:00, false",
    "2026-01-17T17:00, false", // a Saturday
    "2026-03-09T16:00, true", // the Monday after the clocks went forward
    "2026-11-02T16:00, true",
    "2026-11-02T15:59, false",
  })
  void powerLeavesTheSiteInItsExportWindowsOnly(String local, boolean may) {
    Site site = site("{ exportWindows: [{ between: \"16:00-21:00\", on: [weekday] }] }");
    ChargeSchedule schedule = new ChargeSchedule(site, new WarningBoard(), new UtilityTrust());
    assertEquals(may, schedule.mayExport(at(site, local)));
  }

  @Test
  void theInverterIsToldWhetherPowerMayLeave() {
    FakeSite closed = connected("{ exportWindows: [{ between: \"16:00-21:00\" }] }");
    assertEquals(0, closed.out.exportLimitW);
    FakeSite open = connected("{ exportWindows: [{ between: \"14:00-21:00\" }] }");
    assertEquals(Double.POSITIVE_INFINITY, open.out.exportLimitW);
    FakeSite without = connected("{}");
    assertEquals(Double.POSITIVE_INFINITY, without.out.exportLimitW);
  }

  // Trade.

  /** 0.19 · 0.70 = 0.133 a kWh is more than 0.11 at night; 0.19 · 0.55 = 0.1045 is not. */
  @ParameterizedTest
  @CsvSource({"70 %, true", "58 %, true", "57 %, false", "55 %, false"})
  void theBatteryCarriesTheLoadsWhenTheRoundTripPays(String roundTrip, boolean pays) {
    FakeSite s = connected("{ trade: loads, roundTrip: " + roundTrip + " }");
    s.seconds(1);
    assertEquals(pays ? 44.4 : 49.6, Math.min(s.out.feedVoltageV, 49.6), 1e-9);
    if (pays) {
      assertEquals(s.site.inverter().ratedW(), s.out.feedLimitW, 1e-9);
      assertEquals(0, s.out.exportLimitW, "loads and nothing more");
      assertEquals(0, s.out.chargeLimitA);
    }
  }

  /** A credit of 0.08 never pays the way there and back from 0.11; one of 0.20 does. */
  @Test
  void itIsExportedWhenTheCreditPaysTheWayThereAndBack() {
    FakeSite poor = connected("{ trade: export }");
    poor.seconds(1);
    assertEquals(0, poor.out.exportLimitW);
    FakeSite rich = connected("{ trade: export }", "tariff.exportCredit", "0.20 USD/kWh");
    rich.seconds(1);
    assertEquals(Double.POSITIVE_INFINITY, rich.out.exportLimitW);
    assertEquals(rich.site.inverter().ratedW(), rich.out.feedLimitW, 1e-9);
    FakeSite shut =
        connected(
            "{ trade: export, exportWindows: [{ between: \"03:00-04:00\" }] }",
            "tariff.exportCredit",
            "0.20 USD/kWh");
    shut.seconds(1);
    assertEquals(0, shut.out.exportLimitW, "not where it may not");
  }

  private static boolean trades(FakeSite s) {
    return s.out.feedLimitW > 0 && s.out.feedVoltageV == 44.4;
  }

  @Test
  void neverBelowTheReserveAndNotAgainBeforeItIsWellAbove() {
    FakeSite s = connected("{ trade: loads }", "supervision.reserve", "60 %");
    s.seconds(1);
    assertTrue(trades(s));
    s.currentA = -400; // 400 Ah: 1 % in 36 s
    s.drawA = 400;
    for (int i = 0; i < 6000 && trades(s); i++) {
      s.scan();
    }
    assertFalse(trades(s));
    assertTrue(s.out.soc >= 0.6, "stopped at " + s.out.soc);
    s.currentA = 400;
    s.drawA = -400;
    for (int i = 0; i < 6000 && !trades(s); i++) {
      s.scan();
    }
    assertTrue(s.out.soc >= 0.65, "begun again at " + s.out.soc);
  }

  @Test
  void aPersonsHandAnOverrideAndAnAbsentUtilityEndIt() {
    FakeSite s = connected("{ trade: loads }");
    s.seconds(1);
    assertTrue(trades(s));
    s.ask(OperatorOrder.MANUAL, "");
    s.seconds(0.2);
    assertFalse(trades(s));
    s.ask(OperatorOrder.AUTO, "");
    s.seconds(0.2);
    assertTrue(trades(s));
    s.ask(OperatorOrder.OVERRIDE, Forced.FEED_OFF.name(), 5);
    s.seconds(0.2);
    assertFalse(trades(s));
    s.seconds(6);
    assertTrue(trades(s));
    s.utilityPu = 0.75; // ridden through or not: nothing is traded in a sag
    s.seconds(0.2);
    s.utilityPu = 0;
    s.seconds(0.5);
    assertEquals(0, s.out.feedLimitW);
  }

  @ParameterizedTest
  @ValueSource(strings = {"none", "loads"})
  void withinAChargeWindowTheBatteryIsChargedAndNotEmptied(String trade) {
    FakeSite s = new FakeSite(site("{ trade: " + trade + " }"));
    s.now = at(s.site, "2026-01-15T02:00");
    s.connected().seconds(1);
    assertTrue(s.out.chargeLimitA > 0);
    assertFalse(trades(s));
  }

  // The plan.

  private static void think(FakeSite s) {
    if (s.supervisor.wantsToThink()) {
      s.supervisor.think();
    }
  }

  /**
   * What lies above the reserve, 19 % of 400 Ah at 48 V or 3.6 kWh, is less than the 4 kWh that 800
   * W take in the evening at 0.34: it waits for that, and nothing is bought meanwhile.
   */
  @Test
  void thePlanKeepsTheBatteryForTheDearHoursAndBuysInOthers() {
    FakeSite s = new FakeSite(site("{ plan: optimal }"));
    s.criticalW = 800;
    s.connected().seconds(30);
    assertFalse(s.supervisor.wantsToThink(), "the meters are heard for a minute first");
    s.seconds(40);
    assertTrue(s.supervisor.wantsToThink());
    s.seconds(1);
    assertFalse(trades(s), "nothing is planned before somebody has thought");
    think(s);
    s.seconds(1);
    assertFalse(trades(s), "at 15:00 it waits");
    double charged = 0;
    int evening = 0;
    for (int i = 0; i < 14 * 60; i++) {
      s.now += 59_900_000L;
      s.scan();
      think(s);
      s.scan();
      charged = Math.max(charged, s.out.chargeLimitA);
      long minute = Math.floorMod(s.now - at(s.site, "2026-01-15T00:00"), 24 * HOUR) / 60_000_000;
      if (trades(s)) {
        evening += minute >= 16 * 60 && minute < 21 * 60 ? 1 : 0;
        assertEquals(0, s.out.exportLimitW);
      }
      if (s.out.chargeLimitA > 0) {
        // At 0.19 too, what the evening still lacks: 0.19 / 0.70 is less than 0.34.
        assertTrue(
            minute < 16 * 60 || minute >= 21 * 60, "buys at minute " + minute + " of the day");
      }
    }
    assertEquals(5 * 60, evening, 2, "minutes of the evening carried");
    assertTrue(charged > 1, "buys " + charged + " A");
  }

  @Test
  void aPlanIsMadeAnewEachHourAndWhenAWarningComes() {
    FakeSite s = new FakeSite(site("{ plan: optimal, warning: { reserve: 95 % } }"));
    s.connected().seconds(62);
    assertTrue(s.supervisor.wantsToThink());
    s.supervisor.think();
    s.seconds(600);
    assertFalse(s.supervisor.wantsToThink());
    s.ask(OperatorOrder.WARN, "storm", 7200);
    s.seconds(0.3);
    assertTrue(s.supervisor.wantsToThink());
    s.supervisor.think();
    s.seconds(1);
    assertFalse(trades(s));
    assertTrue(s.out.chargeLimitA > 0, "the storm's reserve is filled whatever it costs");
    s.now = at(s.site, "2026-01-14T16:00") - 50_000;
    s.scan();
    assertTrue(s.supervisor.wantsToThink(), "a new hour");
  }

  @Test
  void aSiteWithoutAPlanNeverThinks() {
    FakeSite s = connected("{ trade: loads }");
    s.seconds(70);
    assertFalse(s.supervisor.wantsToThink());
  }
}
