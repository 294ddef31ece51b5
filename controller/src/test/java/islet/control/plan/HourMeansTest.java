package islet.control.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Forecasts by the mean of the same hour, worked out by hand. */
class HourMeansTest {

  private final HourMeans means = new HourMeans();

  private void hour(long day, int hour, boolean free, double value) {
    means.add(value, 1);
    means.close(day, hour, free);
  }

  @Test
  void theSameHourOfThePastDaysIsWhatIsExpected() {
    hour(100, 8, false, 2);
    hour(101, 8, false, 4);
    hour(101, 9, false, 10);
    assertEquals(3, means.forecast(8, false));
    assertEquals(10, means.forecast(9, false));
    assertTrue(means.knows(8));
    assertFalse(means.knows(10));
  }

  /** (2 + 4 + 10 + 6) / 4: an hour never seen is like all that were. */
  @Test
  void ofAnHourNeverSeenTheMeanOfAllIsExpected() {
    hour(100, 8, false, 2);
    hour(101, 8, false, 4);
    hour(101, 9, false, 10);
    means.add(6, 0.25);
    assertEquals(5.5, means.forecast(15, false));
  }

  @Test
  void daysOfRestAreKeptApartAsSoonAsTwoAreKnown() {
    hour(100, 8, false, 2);
    hour(101, 8, false, 2);
    hour(102, 8, true, 8);
    assertEquals(4, means.forecast(8, true), "one day of rest says too little");
    hour(103, 8, true, 6);
    assertEquals(7, means.forecast(8, true));
    assertEquals(2, means.forecast(8, false));
  }

  @Test
  void afterAWeekTheOldestDayIsForgotten() {
    for (int day = 100; day < 107; day++) {
      hour(day, 8, false, 1);
    }
    hour(107, 8, false, 8);
    assertEquals(2, means.forecast(8, false), 1e-12);
  }

  @Test
  void anHourIsTheMeanOverItsTimeAndHalfAnHourAtLeast() {
    means.add(1, 0.25);
    means.add(4, 0.5);
    means.close(100, 8, false);
    assertEquals(3, means.forecast(8, false));
    means.add(50, 0.4);
    means.close(101, 8, false);
    assertEquals(3, means.forecast(8, false));
  }

  /** Forecasts of 2, 3 and 3 were off by 2, 0 and 3: the mean distance is 5 / 3. */
  @Test
  void theErrorIsTheMeanDistanceOfWhatWouldHaveBeenSaid() {
    hour(100, 8, false, 2);
    assertEquals(0, means.errors());
    hour(101, 8, false, 4);
    hour(102, 8, false, 3);
    hour(103, 8, false, 6);
    assertEquals(5 / 3.0, means.error(), 1e-12);
    assertEquals(3, means.errors());
  }

  @Test
  void whatIsRememberedIsAllThatItTakes() {
    hour(100, 8, false, 2);
    hour(101, 8, true, 4);
    means.add(3, 0.2);
    List<Double> kept = new ArrayList<>();
    means.visit(
        (name, value) -> {
          kept.add(value);
          return value;
        });
    HourMeans other = new HourMeans();
    Iterator<Double> next = kept.iterator();
    other.visit((name, value) -> next.next());
    means.close(102, 8, false);
    other.close(102, 8, false);
    means.add(5, 1);
    other.add(5, 1);
    assertEquals(means.forecast(8, false), other.forecast(8, false));
    assertEquals(means.forecast(3, true), other.forecast(3, true));
    assertEquals(means.error(), other.error());
  }

  /** Two restarts: what a day's text says is what was known, to the millionth. */
  @Test
  void aDayOutlivesARestartAsAText() {
    hour(100, 0, false, 2);
    hour(100, 8, false, 1.2345678);
    hour(101, 23, true, 0);
    HourMeans other = new HourMeans();
    for (int place = 0; place < HourMeans.DAYS; place++) {
      other.day(place, means.day(place));
      assertEquals(means.day(place), other.day(place));
    }
    assertEquals(1.234568, other.forecast(8, false), 1e-12);
    assertEquals(0, other.forecast(23, true));
    assertTrue(other.knows(0));
    assertFalse(other.knows(1));
    hour(109, 0, true, 4);
    hour(109, 0, true, 4);
    other.add(4, 1);
    other.close(109, 0, true);
    assertEquals(means.forecast(0, true), other.forecast(0, true), 1e-6);
  }

  @Test
  void aTextThatIsNoDayIsLeftAlone() {
    hour(100, 8, false, 3);
    int place = 100 % 7;
    String before = means.day(place);
    for (String text : List.of("", "w1", before + " w1", before.replace('w', 'x'))) {
      means.day(place, text);
      assertEquals(before, means.day(place), text);
      assertEquals(3, means.forecast(8, false));
    }
  }

  @Test
  void aDaysTextSaysEachHourInItsPlace() {
    means.add(2, 0.5);
    means.close(98, 0, false);
    hour(98, 2, true, 0.25);
    assertEquals("w2000000 - f250000" + " -".repeat(21), means.day(0));
    means.add(3, 0.4999);
    means.close(98, 3, false);
    assertEquals("w2000000 - f250000" + " -".repeat(21), means.day(0), "less than half an hour");
    HourMeans other = new HourMeans();
    other.day(0, means.day(0));
    other.close(98, 4, false);
    hour(98, 5, false, 1);
    other.add(1, 1);
    other.close(98, 5, false);
    assertEquals(means.day(0), other.day(0), "also when an hour is added");
  }

  @Test
  void lookingAtWhatIsRememberedChangesNothing() {
    hour(98, 0, false, 2);
    hour(99, 0, true, 6);
    hour(100, 0, true, 8);
    means.visit((name, value) -> value);
    assertEquals(7, means.forecast(0, true));
    assertFalse(means.knows(1));
    hour(98, 1, false, 1);
    assertEquals("w2000000 w1000000" + " -".repeat(22), means.day(0));
  }
}
