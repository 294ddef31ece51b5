package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.Site;
import java.time.LocalDateTime;
import java.time.ZoneId;
import org.junit.jupiter.api.Test;

/** Judged by the windows of the site file and the wall clock in America/Chicago. */
class ChargeScheduleTest {

  private static final ZoneId CHICAGO = ZoneId.of("America/Chicago");

  private static final Site NIGHT =
      Sites.demo(
          "supervision.chargeWindows.1.between",
          "22:00-05:00",
          "supervision.chargeWindows.1.untilSoc",
          "85 %",
          "supervision.chargeWindows.1.maximumCurrent",
          "40 A");

  private final ChargeSchedule schedule =
      new ChargeSchedule(NIGHT, new WarningBoard(), new UtilityTrust());

  private boolean allowed(String local, double soc) {
    schedule.decide(
        soc,
        LocalDateTime.parse(local).atZone(CHICAGO).toEpochSecond() * 1_000_000L,
        new Outputs());
    return schedule.allowed();
  }

  @Test
  void theWindowPassesMidnight() {
    assertFalse(allowed("2026-01-14T21:59:59", 0.7));
    assertTrue(allowed("2026-01-14T22:00:00", 0.7));
    assertEquals(40, schedule.limitA());
    assertTrue(allowed("2026-01-15T00:00:00", 0.7));
    assertTrue(allowed("2026-01-15T04:59:59", 0.7));
    assertFalse(allowed("2026-01-15T05:00:00", 0.7));
  }

  @Test
  void theWindowIsByTheWallAlsoWhenTheClocksGoForward() {
    assertTrue(
        allowed("2026-03-08T04:59:00", 0.7)); // 09:59 UTC, an hour earlier than the day before
    assertFalse(allowed("2026-03-08T05:00:00", 0.7));
    assertTrue(allowed("2026-11-01T04:59:00", 0.7));
    assertFalse(allowed("2026-11-01T05:00:00", 0.7));
  }

  @Test
  void onceFullEnoughTheWindowIsDoneUntilTheNextNight() {
    assertTrue(allowed("2026-01-14T23:00", 0.84));
    assertFalse(allowed("2026-01-15T01:00", 0.85));
    assertFalse(allowed("2026-01-15T03:00", 0.82)); // a small fall does not start it over
    assertFalse(allowed("2026-01-15T12:00", 0.82));
    assertTrue(allowed("2026-01-15T22:30", 0.82));
  }

  @Test
  void belowTheReserveItChargesAtAnyHourAndBackUpToTheReserve() {
    assertFalse(allowed("2026-01-14T12:00", 0.46));
    assertTrue(allowed("2026-01-14T12:00", 0.44));
    assertTrue(allowed("2026-01-14T12:10", 0.49));
    assertFalse(allowed("2026-01-14T12:20", 0.5));
    assertFalse(allowed("2026-01-14T12:30", 0.46));
    assertEquals(0.5, schedule.reserveSoc());
  }

  @Test
  void aWindowThatGoesToTheTopHoldsAFullBatteryAfloat() {
    ChargeSchedule full =
        new ChargeSchedule(
            Sites.demo("supervision.chargeWindows.1.untilSoc", "100 %"),
            new WarningBoard(),
            new UtilityTrust());
    long now = LocalDateTime.parse("2026-01-14T01:00").atZone(CHICAGO).toEpochSecond() * 1_000_000L;
    full.decide(1, now, new Outputs());
    assertTrue(full.allowed());
  }

  @Test
  void fiveHundredthsBelowTheReserveToTheDigitIsNotYetBelow() {
    assertFalse(allowed("2026-01-14T12:00", 0.45));
  }

  // Waiting for a window that the utility may miss: it begins at 22:00, to 85 % with 40 A.

  private final WarningBoard warnings = new WarningBoard();
  private final Outputs out = new Outputs();

  private static long micros(String local) {
    return LocalDateTime.parse(local).atZone(CHICAGO).toEpochSecond() * 1_000_000L;
  }

  private ChargeSchedule wary(String waitConfidence, String warned) {
    Site site =
        Sites.demo(
            "supervision.chargeWindows.1.between",
            "22:00-05:00",
            "supervision.dispatch",
            "{ waitConfidence: "
                + waitConfidence
                + ", warning: { reserve: 50 %, confidence: "
                + warned
                + " } }");
    return new ChargeSchedule(site, warnings, new UtilityTrust());
  }

  private void decide(ChargeSchedule wary, String local, double soc) {
    out.begin();
    wary.decide(soc, micros(local), out);
  }

  @Test
  void whoDoesNotTrustTheWindowChargesNowAndTellsIt() {
    ChargeSchedule wary = wary("80 %", "60 %");
    decide(wary, "2026-01-14T15:00", 0.7);
    assertFalse(wary.allowed());
    assertEquals(0, out.events());
    warnings.warn("storm", 24 * 3600, micros("2026-01-14T15:00"), out);
    decide(wary, "2026-01-14T15:00:59", 0.7);
    assertFalse(wary.allowed(), "judged once a minute");
    decide(wary, "2026-01-14T15:01", 0.7);
    assertTrue(wary.allowed());
    assertEquals(40, wary.limitA());
    assertEquals(0.6, wary.confidence());
    assertEquals("schedule WAIT NOW", out.kind(0) + " " + out.from(0) + " " + out.to(0));
    assertEquals("the utility may not be there in the next charge window", out.reason(0));
    decide(wary, "2026-01-14T15:02", 0.7);
    assertEquals(0, out.events());
    warnings.clear("", out);
    decide(wary, "2026-01-14T15:03", 0.7);
    assertFalse(wary.allowed());
    assertEquals("NOW WAIT", out.from(0) + " " + out.to(0));
    assertEquals("the utility is trusted to be there in the next charge window", out.reason(0));
  }

  /** Up to the window's 85 %, and from five hundredths below that again. */
  @Test
  void chargingThatDoesNotWaitGoesToTheWindowsGoal() {
    ChargeSchedule wary = wary("80 %", "60 %");
    warnings.warn("storm", 24 * 3600, micros("2026-01-14T15:00"), out);
    double[] socs = {0.84, 0.85, 0.84, 0.80, 0.799, 0.84, 0.86};
    boolean[] allowed = {true, false, false, false, true, true, false};
    for (int i = 0; i < socs.length; i++) {
      decide(wary, "2026-01-14T15:0" + i, socs[i]);
      assertEquals(allowed[i], wary.allowed(), "at " + socs[i]);
    }
  }

  /** A confidence just as large as what is asked for is enough. */
  @Test
  void enoughConfidenceIsEnough() {
    ChargeSchedule wary = wary("60 %", "60 %");
    warnings.warn("storm", 24 * 3600, micros("2026-01-14T15:00"), out);
    decide(wary, "2026-01-14T15:00", 0.7);
    assertEquals(0.6, wary.confidence());
    assertFalse(wary.allowed());
  }

  /** Seven hours from 15:00 to the window: a warning to the very moment says nothing of it. */
  @Test
  void aWarningThatEndsAsTheWindowBeginsDoesNotConcernIt() {
    ChargeSchedule wary = wary("80 %", "60 %");
    warnings.warn("storm", 7 * 3600, micros("2026-01-14T15:00"), out);
    decide(wary, "2026-01-14T15:00", 0.7);
    assertTrue(wary.confidence() > 0.99);
    warnings.warn("storm", 7 * 3600 + 1, micros("2026-01-14T15:00"), out);
    decide(wary, "2026-01-14T15:01", 0.7);
    assertEquals(0.6, wary.confidence(), "a second longer it does");
  }

  @Test
  void theReserveOfAWarningHoldsToItsLastMoment() {
    ChargeSchedule raised =
        new ChargeSchedule(
            Sites.demo("supervision.dispatch", "{ warning: { reserve: 90 % } }"),
            warnings,
            new UtilityTrust());
    long end = micros("2026-01-14T16:00");
    warnings.warn("storm", 3600, micros("2026-01-14T15:00"), out);
    assertEquals(0.9, raised.reserveAt(end - 1));
    assertEquals(0.5, raised.reserveAt(end));
  }

  /** Of no trust in a window there is nothing to say when there is none. */
  @Test
  void withoutAWindowNobodyWaits() {
    ChargeSchedule none =
        new ChargeSchedule(
            Sites.demo(
                "supervision.chargeWindows",
                "[]",
                "supervision.dispatch",
                "{ waitConfidence: 80 %, warning: { reserve: 50 %, confidence: 60 % } }"),
            warnings,
            new UtilityTrust());
    warnings.warn("storm", 24 * 3600, micros("2026-01-14T15:00"), out);
    decide(none, "2026-01-14T15:00", 0.7);
    assertEquals(1, none.confidence());
    assertFalse(none.allowed());
    assertEquals(0, out.events());
  }

  /** At 30 % of reserve and below: allowed with the charger's own 60 A whatever the plan says. */
  @Test
  void aPlanStandsInForTheWindowsButNotForTheReserve() {
    decide(schedule, "2026-01-14T12:00", 0.7);
    schedule.planned(true, 25);
    assertTrue(schedule.allowed());
    assertEquals(25, schedule.limitA());
    schedule.planned(true, 90);
    assertEquals(60, schedule.limitA());
    decide(schedule, "2026-01-14T23:00", 0.7);
    schedule.planned(false, 0);
    assertFalse(schedule.allowed());
    decide(schedule, "2026-01-14T12:00", 0.3);
    schedule.planned(false, 0);
    assertTrue(schedule.allowed());
    assertEquals(60, schedule.limitA());
  }
}
