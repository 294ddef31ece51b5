package islet.control;

import islet.site.DaySet;
import islet.site.Site;
import islet.site.Site.MinuteSpan;
import islet.site.Timed;
import java.time.LocalDate;
import java.util.List;

/**
 * Which windows of a schedule hold on which of the next days, looked up once for several so that a
 * scan allocates nothing, and a plan can look ahead without disturbing it.
 */
final class DayTable {

  /** A day and the week after it: the next window of every weekday lies within. */
  static final int DAYS = 8;

  static final int MINUTES = 1440;

  private final Site site;
  private final MinuteSpan[] spans;
  private final DaySet[] sets;
  private final boolean[][] holds;
  private long first = Long.MIN_VALUE / 2;

  DayTable(Site site, List<? extends Timed> windows) {
    this.site = site;
    spans = windows.stream().map(Timed::span).toArray(MinuteSpan[]::new);
    sets = windows.stream().map(Timed::days).toArray(DaySet[]::new);
    holds = new boolean[DAYS][sets.length];
  }

  private void begin(long day) {
    first = day;
    for (int d = 0; d < DAYS; d++) {
      LocalDate date = LocalDate.ofEpochDay(day + d);
      for (int i = 0; i < sets.length; i++) {
        holds[d][i] = sets[i].holds(date, site.tariff().holidays());
      }
    }
  }

  /**
   * Whether a window holds at a minute of a day.
   *
   * @param day local date in days since 1970-01-01
   */
  boolean open(int window, long day, int minute) {
    if (day < first || day >= first + DAYS) {
      begin(day);
    }
    return holds[(int) (day - first)][window] && CivilClock.within(spans[window], minute);
  }

  /** Whether any window holds at a minute of a day. */
  boolean anyOpen(long day, int minute) {
    for (int i = 0; i < spans.length; i++) {
      if (open(i, day, minute)) {
        return true;
      }
    }
    return false;
  }

  /**
   * In how many minutes of the wall's clock a window next begins, {@link Integer#MAX_VALUE} when it
   * does not within the week.
   */
  int minutesUntil(int window, long day, int minute) {
    if (day != first) {
      begin(day);
    }
    int from = spans[window].from() % MINUTES;
    for (int d = 0; d < DAYS; d++) {
      int in = d * MINUTES + from - minute;
      if (in > 0 && holds[d][window]) {
        return in;
      }
    }
    return Integer.MAX_VALUE;
  }

  /** How long a window is, minutes. */
  int length(int window) {
    int length = Math.floorMod(spans[window].to() - spans[window].from(), MINUTES);
    return length == 0 ? MINUTES : length;
  }
}
