package islet.site;

import java.time.DayOfWeek;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/** Reads on which days a window holds: {@code on}, {@code from} and {@code to}, all may be left. */
final class DaySetReader {

  private static final List<String> WORDS =
      List.of(
          "weekday",
          "weekend",
          "holiday",
          "monday",
          "tuesday",
          "wednesday",
          "thursday",
          "friday",
          "saturday",
          "sunday");
  private static final String ALLOWED = "a list out of " + String.join(", ", WORDS);
  private static final String YEAR_DAY = "a day of the year such as 1 June";

  private DaySetReader() {}

  static DaySet days(Section s) {
    Set<DayOfWeek> weekdays = new TreeSet<>(DaySet.EVERY.weekdays());
    boolean holidays = true;
    if (s.has("on")) {
      weekdays.clear();
      List<String> words = s.texts("on", ALLOWED, "Leave it out for every day.");
      for (String word : words) {
        add(s, word, weekdays);
      }
      holidays = words.contains("holiday");
      if (words.isEmpty()) {
        s.wrong("on", ALLOWED, "Leave it out for every day.");
      }
    }
    Tariff.YearDay from = Tariff.YearDay.FIRST;
    Tariff.YearDay to = Tariff.YearDay.LAST;
    if (s.has("from") || s.has("to")) {
      from = yearDay(s, "from", from);
      to = yearDay(s, "to", to);
    }
    return new DaySet(new ArrayList<>(weekdays), holidays, from, to);
  }

  private static void add(Section s, String word, Set<DayOfWeek> weekdays) {
    switch (word) {
      case "weekday" ->
          weekdays.addAll(
              List.of(
                  DayOfWeek.MONDAY,
                  DayOfWeek.TUESDAY,
                  DayOfWeek.WEDNESDAY,
                  DayOfWeek.THURSDAY,
                  DayOfWeek.FRIDAY));
      case "weekend" -> weekdays.addAll(List.of(DayOfWeek.SATURDAY, DayOfWeek.SUNDAY));
      case "holiday" -> {}
      default -> {
        if (WORDS.contains(word)) {
          weekdays.add(DayOfWeek.valueOf(word.toUpperCase(Locale.ROOT)));
        } else {
          s.wrong("on", "\"" + word + "\"", ALLOWED, Spelling.question(word, WORDS));
        }
      }
    }
  }

  private static Tariff.YearDay yearDay(Section s, String name, Tariff.YearDay standIn) {
    String text = s.text(name, YEAR_DAY, "Give both from and to; the days are included.");
    Optional<Tariff.YearDay> day = Holiday.yearDay(text);
    if (day.isEmpty() && !text.isEmpty()) {
      s.wrong(name, YEAR_DAY, "The day itself is included.");
    }
    return day.orElse(standIn);
  }
}
