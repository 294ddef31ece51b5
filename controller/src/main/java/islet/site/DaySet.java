package islet.site;

import java.time.DayOfWeek;
import java.time.LocalDate;
import java.time.Month;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * The days on which a rule of the schedule holds, in the words of a tariff: a holiday is a holiday
 * whatever weekday it falls on. A span across midnight belongs, after midnight, to the new day, as
 * a tariff's band does, so that windows and prices change together.
 *
 * @param weekdays the weekdays on which it holds, unless they are holidays
 * @param holidays whether it holds on the tariff's holidays
 * @param from first day of every year
 * @param to last day, itself included; before {@code from} when the days pass the year's end
 */
public record DaySet(
    List<DayOfWeek> weekdays, boolean holidays, Tariff.YearDay from, Tariff.YearDay to) {

  /** Every day of every year. */
  public static final DaySet EVERY =
      new DaySet(List.of(DayOfWeek.values()), true, Tariff.YearDay.FIRST, Tariff.YearDay.LAST);

  /** A year with a 29 February. */
  private static final int LEAP_YEAR = 2024;

  public DaySet {
    weekdays = List.copyOf(weekdays);
  }

  /** Whether a local date is one of the days, where these are the holidays. */
  public boolean holds(LocalDate date, List<Holiday> listed) {
    if (!inSeason(date)) {
      return false;
    }
    for (Holiday holiday : listed) {
      if (holiday.on(date)) {
        return holidays;
      }
    }
    return weekdays.contains(date.getDayOfWeek());
  }

  /** The days as a person would say them: {@code monday, holiday, from 1 June to 30 September}. */
  public String inWords() {
    List<String> words = new ArrayList<>();
    if (!holidays || weekdays.size() < DayOfWeek.values().length) {
      weekdays.forEach(weekday -> words.add(weekday.name().toLowerCase(Locale.ROOT)));
      if (holidays) {
        words.add("holiday");
      }
    }
    if (!from.equals(Tariff.YearDay.FIRST) || !to.equals(Tariff.YearDay.LAST)) {
      words.add("from " + said(from) + " to " + said(to));
    }
    return String.join(", ", words);
  }

  private static String said(Tariff.YearDay day) {
    String month = Month.of(day.month()).name();
    return day.day() + " " + month.charAt(0) + month.substring(1).toLowerCase(Locale.ROOT);
  }

  /** Whether some date may lie in both. */
  boolean meets(DaySet other) {
    if (!(holidays && other.holidays) && weekdays.stream().noneMatch(other.weekdays::contains)) {
      return false;
    }
    return LocalDate.of(LEAP_YEAR, 1, 1)
        .datesUntil(LocalDate.of(LEAP_YEAR + 1, 1, 1))
        .anyMatch(date -> inSeason(date) && other.inSeason(date));
  }

  private boolean inSeason(LocalDate date) {
    return Tariff.YearDay.within(from, to, date.getMonthValue(), date.getDayOfMonth());
  }
}
