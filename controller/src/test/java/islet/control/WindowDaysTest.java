package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.InputException;
import islet.site.Site;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Judged by the calendar, worked out by hand, and by the dates on which the clocks are changed: in
 * the United States the second Sunday of March and the first of November (Energy Policy Act of
 * 2005), in the European Union the last Sundays of March and October (Directive 2000/84/EC).
 */
class WindowDaysTest {

  private static final String WINDOW = "supervision.chargeWindows.1.";

  private static Site site(String between, String... more) {
    List<String> settings =
        new ArrayList<>(List.of(WINDOW + "between", between, WINDOW + "untilSoc", "100 %"));
    settings.addAll(Arrays.asList(more));
    return Sites.demo(settings.toArray(new String[0]));
  }

  private static boolean open(Site site, String local) {
    ChargeSchedule schedule = new ChargeSchedule(site, new WarningBoard(), new UtilityTrust());
    schedule.decide(
        0.7,
        LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * 1_000_000L,
        new Outputs());
    return schedule.allowed();
  }

  private static int minutesOpen(Site site, String date) {
    ZoneId zone = site.place().zone();
    ChargeSchedule schedule = new ChargeSchedule(site, new WarningBoard(), new UtilityTrust());
    long start = LocalDate.parse(date).atStartOfDay(zone).toEpochSecond();
    long end = LocalDate.parse(date).plusDays(1).atStartOfDay(zone).toEpochSecond();
    int minutes = 0;
    for (long second = start; second < end; second += 60) {
      schedule.decide(0.7, second * 1_000_000L, new Outputs());
      minutes += schedule.allowed() ? 1 : 0;
    }
    return minutes;
  }

  @ParameterizedTest
  @CsvSource({
    "America/Chicago, 2026-03-07, 5",
    "America/Chicago, 2026-03-08, 4",
    "America/Chicago, 2026-11-01, 6",
    "Europe/Berlin, 2026-03-28, 5",
    "Europe/Berlin, 2026-03-29, 4",
    "Europe/Berlin, 2026-10-25, 6",
    "Europe/Lisbon, 2026-03-29, 4",
    "Europe/Lisbon, 2026-10-25, 6",
  })
  void aWindowOfFiveHoursByTheWallLastsAnHourLessOrMoreWhenTheClocksAreChanged(
      String zone, String date, int hours) {
    Site site = site("00:00-05:00", "place.zone", zone);

    assertEquals(Duration.ofHours(hours).toMinutes(), minutesOpen(site, date));
  }

  /** A window on Sundays only: the changed day is one of 23 and one of 25 hours. */
  @ParameterizedTest
  @CsvSource({
    "America/Chicago, 2026-03-08, 23",
    "America/Chicago, 2026-11-01, 25",
    "Europe/Berlin, 2026-03-29, 23",
    "Europe/Berlin, 2026-10-25, 25",
    "Europe/Berlin, 2026-10-26, 0",
  })
  void theChangedDayIsOneSunday(String zone, String date, int hours) {
    Site site = site("00:00-24:00", "place.zone", zone, WINDOW + "on", "[sunday]");

    assertEquals(Duration.ofHours(hours).toMinutes(), minutesOpen(site, date));
  }

  /** 14 January 2026 is a Wednesday. */
  @ParameterizedTest
  @CsvSource({
    "'[weekday]', true, true, false, false",
    "'[weekend]', false, false, true, true",
    "'[friday, sunday]', false, true, false, true",
    "'[wednesday, weekend]', true, false, true, true",
  })
  void aWindowHoldsOnItsWeekdays(
      String on, boolean wednesday, boolean friday, boolean saturday, boolean sunday) {
    Site site = site("10:00-12:00", WINDOW + "on", on);

    assertEquals(wednesday, open(site, "2026-01-14T11:00"));
    assertEquals(friday, open(site, "2026-01-16T11:00"));
    assertEquals(saturday, open(site, "2026-01-17T11:00"));
    assertEquals(sunday, open(site, "2026-01-18T11:00"));
  }

  /** Labor Day, the first Monday of September, is 7 September in 2026. */
  @Test
  void aHolidayIsAHolidayWhateverWeekdayItFallsOn() {
    String[] seasonal = {"tariff", "../tariffs/lake-seasonal.yaml"};
    Site weekdays = site("10:00-12:00", seasonal[0], seasonal[1], WINDOW + "on", "[weekday]");
    Site holidays = site("10:00-12:00", seasonal[0], seasonal[1], WINDOW + "on", "[holiday]");

    assertFalse(open(weekdays, "2026-09-07T11:00"));
    assertTrue(open(weekdays, "2026-09-14T11:00"));
    assertTrue(open(holidays, "2026-09-07T11:00"));
    assertFalse(open(holidays, "2026-09-14T11:00"));
  }

  @Test
  void afterMidnightAWindowBelongsToTheNewDay() {
    Site site = site("22:00-05:00", WINDOW + "on", "[friday]");

    assertTrue(open(site, "2026-01-16T01:00")); // the Friday's own small hours
    assertTrue(open(site, "2026-01-16T23:00"));
    assertFalse(open(site, "2026-01-17T01:00"));
  }

  @Test
  void aWindowOfTheWinterPassesTheYearsEnd() {
    Site site = site("22:00-05:00", WINDOW + "from", "15 November", WINDOW + "to", "10 January");

    assertFalse(open(site, "2026-11-14T23:59:59"));
    assertTrue(open(site, "2026-11-15T00:00"));
    assertTrue(open(site, "2026-12-31T23:59:59"));
    assertTrue(open(site, "2027-01-01T00:00"));
    assertTrue(open(site, "2027-01-10T23:59:59"));
    assertFalse(open(site, "2027-01-11T00:00"));
  }

  /** 2028 is a leap year, 2027 and 2100 are none. */
  @Test
  void theTwentyNinthOfFebruaryAsLastDayIsTheEndOfFebruaryInEveryYear() {
    Site site = site("10:00-12:00", WINDOW + "from", "1 December", WINDOW + "to", "29 February");

    assertTrue(open(site, "2028-02-29T11:00"));
    assertFalse(open(site, "2028-03-01T11:00"));
    assertTrue(open(site, "2027-02-28T11:00"));
    assertFalse(open(site, "2027-03-01T11:00"));
    assertFalse(open(site, "2100-03-01T11:00"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "on   | [mondays]   | supervision.chargeWindows.1.on: found \"mondays\"",
        "on   | [holiday]   | supervision.chargeWindows.1.on: ",
        "from | 1 June      | supervision.chargeWindows.1.to: ",
        "from | 31 June     | supervision.chargeWindows.1.from: found \"31 June\"",
      })
  void whatCanNeverHoldIsRefused(String field, String value, String message) {
    InputException e =
        assertThrows(InputException.class, () -> site("10:00-12:00", WINDOW + field, value));

    assertTrue(String.valueOf(e.getMessage()).contains(message), e.getMessage());
  }

  @Test
  void theDaysAreSaidInTheWordsOfTheFile() {
    Site site =
        site(
            "10:00-12:00",
            WINDOW + "on",
            "[saturday, holiday]",
            WINDOW + "from",
            "1 June",
            WINDOW + "to",
            "30 September");

    assertEquals(
        "saturday, holiday, from 1 June to 30 September",
        site.supervision().chargeWindows().get(0).days().inWords());
  }

  @Test
  void theReserveFollowsTheHourAndTheUtilityChargesUpToIt() {
    Site site =
        Sites.demo(
            "supervision.chargeWindows",
            "[]",
            "supervision.reserveWindows",
            "[{ between: \"17:00-22:00\", reserve: 80 % }, { between: \"20:00-21:00\", reserve: 60 % },"
                + " { between: \"08:00-10:00\", reserve: 30 %, on: [weekend] }]");

    assertEquals(0.5, reserve(site, "2026-01-16T16:59:59")); // the plain one
    assertEquals(0.8, reserve(site, "2026-01-16T17:00"));
    assertEquals(0.8, reserve(site, "2026-01-16T20:30")); // of two, the higher
    assertEquals(0.5, reserve(site, "2026-01-16T22:00"));
    assertEquals(0.5, reserve(site, "2026-01-16T09:00"));
    assertEquals(0.3, reserve(site, "2026-01-17T09:00"));
    assertFalse(open(site, "2026-01-16T16:59"));
    assertTrue(open(site, "2026-01-16T17:00")); // 70 % is below 80 %
  }

  private static double reserve(Site site, String local) {
    ChargeSchedule schedule = new ChargeSchedule(site, new WarningBoard(), new UtilityTrust());
    schedule.decide(
        0.7,
        LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * 1_000_000L,
        new Outputs());
    return schedule.reserveSoc();
  }

  @Test
  void windowsAtTheSameHourMayStandBesideEachOtherOnDifferentDaysOnly() {
    String two =
        "[{ between: \"00:00-05:00\", untilSoc: 85 %, maximumCurrent: 40 A, on: [weekday] },"
            + " { between: \"00:00-08:00\", untilSoc: 90 %, maximumCurrent: 40 A, on: [ON] }]";

    Site site = Sites.demo("supervision.chargeWindows", two.replace("ON", "weekend"));
    assertFalse(open(site, "2026-01-16T07:00"));
    assertTrue(open(site, "2026-01-17T07:00"));
    InputException e =
        assertThrows(
            InputException.class,
            () -> Sites.demo("supervision.chargeWindows", two.replace("ON", "friday")));
    assertTrue(
        String.valueOf(e.getMessage()).contains("windows that do not overlap"), e.getMessage());
  }
}
