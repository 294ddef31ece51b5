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
}
