package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.Site.MinuteSpan;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by {@code java.time} and the time zone database. */
class CivilClockTest {

  private static final long MINUTE = 60_000_000;

  private static void assertWallClock(CivilClock clock, ZoneId zone, long micros) {
    ZonedDateTime wall = Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L)).atZone(zone);
    assertEquals(wall.getHour() * 60 + wall.getMinute(), clock.minuteOfDay(micros), wall::toString);
  }

  /** Days with a change of the clocks, a leap day, the turn of a year, and plain ones. */
  @ParameterizedTest
  @CsvSource({
    "America/Chicago, 2026-03-08",
    "America/Chicago, 2026-11-01",
    "America/Chicago, 2028-02-29",
    "America/Chicago, 2026-12-31",
    "America/Chicago, 2027-01-01",
    "Europe/Berlin, 2026-03-29",
    "Europe/Berlin, 2026-10-25",
    "Australia/Lord_Howe, 2026-04-05",
    "Asia/Kathmandu, 2026-06-01",
    "UTC, 2026-06-01",
  })
  void everyMinuteOfTheDayIsThatOfTheWall(String zoneName, String date) {
    ZoneId zone = ZoneId.of(zoneName);
    LocalDate day = LocalDate.parse(date);
    long from = day.minusDays(1).atStartOfDay(zone).toEpochSecond() * 1_000_000L;
    long to = day.plusDays(2).atStartOfDay(zone).toEpochSecond() * 1_000_000L;
    CivilClock clock = new CivilClock(zone);
    for (long micros = from; micros < to; micros += MINUTE / 2) {
      assertWallClock(clock, zone, micros);
    }
  }

  @Test
  void theShortDayHasTwentyThreeHoursAndTheLongOneTwentyFive() {
    ZoneId zone = ZoneId.of("America/Chicago");
    assertEquals(23 * 60, minutesBetweenMidnights(zone, "2026-03-08"));
    assertEquals(25 * 60, minutesBetweenMidnights(zone, "2026-11-01"));
    assertEquals(24 * 60, minutesBetweenMidnights(zone, "2026-12-31"));
  }

  private static int minutesBetweenMidnights(ZoneId zone, String date) {
    CivilClock clock = new CivilClock(zone);
    long micros = LocalDate.parse(date).atStartOfDay(zone).toEpochSecond() * 1_000_000L;
    assertEquals(0, clock.minuteOfDay(micros));
    int minutes = 0;
    do {
      micros += MINUTE;
      minutes++;
    } while (clock.minuteOfDay(micros) != 0);
    return minutes;
  }

  @ParameterizedTest
  @ValueSource(strings = {"America/Chicago", "Europe/Lisbon", "Pacific/Apia", "Asia/Tehran"})
  void instantsAtRandomInAnyOrder(String zoneName) {
    ZoneId zone = ZoneId.of(zoneName);
    CivilClock clock = new CivilClock(zone);
    Random random = new Random(7);
    for (int i = 0; i < 20_000; i++) {
      assertWallClock(clock, zone, random.nextLong(4_000_000_000L) * 1_000_000L);
    }
  }

  @Test
  void aSpanHoldsItsBeginningAndNotItsEndAlsoOverMidnight() {
    MinuteSpan night = new MinuteSpan(22 * 60, 5 * 60);
    for (int minute = 0; minute < 1440; minute++) {
      assertEquals(minute >= 1320 || minute < 300, CivilClock.within(night, minute));
    }
    MinuteSpan day = new MinuteSpan(360, 1260);
    assertTrue(CivilClock.within(day, 360));
    assertFalse(CivilClock.within(day, 1260));
    assertFalse(CivilClock.within(day, 359));
    assertTrue(CivilClock.within(new MinuteSpan(0, 1440), 1439));
  }

  @Test
  void aSpanThatEndsWhereItBeginsHoldsNothing() {
    for (int minute = 0; minute < 1440; minute++) {
      assertFalse(CivilClock.within(new MinuteSpan(360, 360), minute));
    }
  }
}
