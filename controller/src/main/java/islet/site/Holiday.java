package islet.site;

import java.time.DayOfWeek;
import java.time.LocalDate;
import java.time.Month;
import java.time.Year;
import java.time.temporal.TemporalAdjusters;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A holiday as a tariff lists it: one date, the same day of every year, or a weekday by count. */
public sealed interface Holiday {

  /** Whether a date is this holiday. */
  boolean on(LocalDate date);

  /** One date of one year. */
  record Once(LocalDate date) implements Holiday {
    @Override
    public boolean on(LocalDate other) {
      return date.equals(other);
    }
  }

  /** The same day of every year. */
  record Yearly(Tariff.YearDay day) implements Holiday {
    @Override
    public boolean on(LocalDate date) {
      return date.getMonthValue() == day.month() && date.getDayOfMonth() == day.day();
    }
  }

  /**
   * Such as the fourth Thursday of November.
   *
   * @param count 1 to 4, or −1 for the last
   */
  record Counted(int count, DayOfWeek weekday, Month month) implements Holiday {
    @Override
    public boolean on(LocalDate date) {
      return date.getMonth() == month
          && date.equals(date.with(TemporalAdjusters.dayOfWeekInMonth(count, weekday)));
    }
  }

  /** What {@link #parse} takes, for a message. */
  String FORM =
      "2026-07-03, 25 December, or fourth Thursday of November (first to fourth, or last)";

  /** Reads a holiday; empty when the text is none. */
  static Optional<Holiday> parse(String text) {
    return Forms.date(text).or(() -> yearDay(text).map(Yearly::new)).or(() -> Forms.counted(text));
  }

  /** Reads a day of the year such as {@code 1 June}; empty when the text is none. */
  static Optional<Tariff.YearDay> yearDay(String text) {
    Matcher parts = Forms.YEAR_DAY.matcher(text);
    if (!parts.matches()) {
      return Optional.empty();
    }
    int day = Integer.parseInt(parts.group(1));
    return Forms.constant(Month.values(), parts.group(2))
        .filter(month -> day >= 1 && day <= month.maxLength())
        .map(month -> new Tariff.YearDay(month.getValue(), day));
  }

  /** How holidays are written. */
  final class Forms {
    private static final Pattern DATE = Pattern.compile("(\\d{4})-(\\d\\d)-(\\d\\d)");
    private static final Pattern YEAR_DAY = Pattern.compile("(\\d{1,2}) ([A-Z][a-z]+)");
    private static final Pattern COUNTED =
        Pattern.compile("(first|second|third|fourth|last) ([A-Z][a-z]+) of ([A-Z][a-z]+)");
    private static final List<String> COUNTS = List.of("first", "second", "third", "fourth");

    private Forms() {}

    private static Optional<Holiday> date(String text) {
      Matcher parts = DATE.matcher(text);
      if (!parts.matches()) {
        return Optional.empty();
      }
      int year = Integer.parseInt(parts.group(1));
      int month = Integer.parseInt(parts.group(2));
      int day = Integer.parseInt(parts.group(3));
      boolean exists =
          month >= 1 && month <= 12 && day >= 1 && day <= Month.of(month).length(Year.isLeap(year));
      return exists ? Optional.of(new Once(LocalDate.of(year, month, day))) : Optional.empty();
    }

    private static Optional<Holiday> counted(String text) {
      Matcher parts = COUNTED.matcher(text);
      if (!parts.matches()) {
        return Optional.empty();
      }
      int place = COUNTS.indexOf(parts.group(1));
      int count = place < 0 ? -1 : place + 1;
      return constant(DayOfWeek.values(), parts.group(2))
          .flatMap(
              weekday ->
                  constant(Month.values(), parts.group(3))
                      .map(month -> new Counted(count, weekday, month)));
    }

    private static <E extends Enum<E>> Optional<E> constant(E[] constants, String word) {
      return Arrays.stream(constants)
          .filter(c -> c.name().equals(word.toUpperCase(Locale.ROOT)))
          .findFirst();
    }
  }
}
