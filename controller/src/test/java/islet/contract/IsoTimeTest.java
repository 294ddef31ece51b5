package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by {@code java.time}, from 1970 to the end of the year 9999. */
class IsoTimeTest {

  private static final DateTimeFormatter MILLIS =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private static void assertBothWays(long millis) {
    String text = MILLIS.format(Instant.ofEpochMilli(millis));
    assertEquals(text, IsoTime.text(millis * 1000));
    assertEquals(text, IsoTime.text(millis * 1000 + 999));
    assertEquals(millis * 1000, read(text));
  }

  private static long read(String text) {
    char[] around = ("x" + text + "y").toCharArray();
    return IsoTime.read(around, 1, text.length());
  }

  @Test
  void monthEndsLeapDaysAndEverySeventeenthDayToTheEnd() {
    long last = LocalDate.of(9999, 12, 31).toEpochDay();
    for (long day = 0; day <= last; day++) {
      long millis = day * 86_400_000L + day * 7919 % 86_400_000L;
      if (day % 17 == 0 || LocalDate.ofEpochDay(day).getDayOfYear() > 364 || monthEnds(day)) {
        assertBothWays(millis);
      }
    }
  }

  private static boolean monthEnds(long day) {
    LocalDate date = LocalDate.ofEpochDay(day);
    return (date.getMonthValue() <= 3 && date.getDayOfMonth() >= 28) || date.getDayOfMonth() == 1;
  }

  @Test
  void instantsAtRandom() {
    Random random = new Random(1970);
    for (int i = 0; i < 100_000; i++) {
      assertBothWays(Math.floorMod(random.nextLong(), IsoTime.MAXIMUM / 1000));
    }
  }

  @Test
  void theFirstAndTheLastInstant() {
    assertEquals("1970-01-01T00:00:00.000Z", IsoTime.text(0));
    assertEquals("9999-12-31T23:59:59.999Z", IsoTime.text(IsoTime.MAXIMUM));
    assertEquals(IsoTime.MAXIMUM - 999, read("9999-12-31T23:59:59.999Z"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "1972-02-29",
        "2000-02-29",
        "2024-02-29",
        "2096-02-29",
        "2104-02-29",
        "9996-02-29"
      })
  void aLeapDayIsADay(String date) {
    long millis = LocalDate.parse(date).toEpochDay() * 86_400_000L;
    assertBothWays(millis);
    assertBothWays(millis + 86_399_999L);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "2023-02-29",
        "2100-02-29",
        "2200-02-29",
        "9999-02-29",
        "2024-02-30",
        "2024-06-31",
        "1969-12-31"
      })
  void aDayThatNeverWasIsRefused(String date) {
    assertEquals(-1, read(date + "T00:00:00.000Z"));
  }
}
