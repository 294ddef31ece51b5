package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.Site;
import java.time.LocalDate;
import org.junit.jupiter.api.Test;

/** Windows by the day, judged by the calendar: 14 January 2026 is a Wednesday. */
class DayTableTest {

  private static final long WEDNESDAY = LocalDate.parse("2026-01-14").toEpochDay();
  private static final int NEVER = Integer.MAX_VALUE;

  private static DayTable table(String windows) {
    Site site = Sites.demo("supervision.chargeWindows", windows);
    return new DayTable(site, site.supervision().chargeWindows());
  }

  private static String window(String between, String on) {
    return "{ between: \"" + between + "\", untilSoc: 85 %, maximumCurrent: 40 A" + on + " }";
  }

  private final DayTable two =
      table(
          "["
              + window("02:00-05:00", ", on: [weekday]")
              + ", "
              + window("22:00-02:00", ", on: [saturday]")
              + "]");

  @Test
  void aWindowIsOpenOnItsDaysWhicheverDayIsAskedAfterWhich() {
    for (int back : new int[] {0, 7, 8, 9, 30, 3, 2, 0, -1, -8, -9, 400, 0}) {
      for (int d = 0; d < 9; d++) {
        long day = WEDNESDAY + back + d;
        int weekday = LocalDate.ofEpochDay(day).getDayOfWeek().getValue();
        assertEquals(weekday <= 5, two.open(0, day, 180), "day " + day);
        assertEquals(weekday == 6, two.open(1, day, 1320), "day " + day);
        assertFalse(two.open(0, day, 300));
        assertEquals(weekday <= 5, two.anyOpen(day, 299));
        assertEquals(weekday == 6, two.anyOpen(day, 60), "the small hours of the day itself");
        assertFalse(two.anyOpen(day, 720));
      }
    }
  }

  @Test
  void theNextBeginIsCountedOverTheDays() {
    assertEquals(120, two.minutesUntil(0, WEDNESDAY, 0));
    assertEquals(1, two.minutesUntil(0, WEDNESDAY, 119));
    assertEquals(
        1440, two.minutesUntil(0, WEDNESDAY, 120), "it begins now; the next is tomorrow's");
    assertEquals(3 * 1440 - 720 + 120, two.minutesUntil(0, WEDNESDAY + 2, 720), "over the weekend");
    assertEquals(2 * 1440 + 120, two.minutesUntil(0, WEDNESDAY + 3, 0));
    assertEquals(3 * 1440 + 1320, two.minutesUntil(1, WEDNESDAY, 0));
    assertEquals(7 * 1440, two.minutesUntil(1, WEDNESDAY + 3, 1320), "in a week");
    assertEquals(119, two.minutesUntil(0, WEDNESDAY, 1));
  }

  @Test
  void aWindowOfAnotherSeasonDoesNotBeginThisWeek() {
    DayTable summer = table("[" + window("02:00-05:00", ", from: 1 June, to: 31 August") + "]");
    assertEquals(NEVER, summer.minutesUntil(0, WEDNESDAY, 0));
    assertFalse(summer.open(0, WEDNESDAY, 180));
    long may = LocalDate.parse("2026-05-25").toEpochDay();
    assertEquals(7 * 1440 + 120, summer.minutesUntil(0, may, 0), "the eighth day still counts");
    assertEquals(NEVER, summer.minutesUntil(0, may - 1, 0));
    assertTrue(summer.open(0, may + 7, 180));
  }

  @Test
  void aWindowIsAsLongAsItsSpan() {
    assertEquals(180, two.length(0));
    assertEquals(240, two.length(1));
    assertEquals(1440, table("[" + window("00:00-24:00", "") + "]").length(0));
  }
}
