package islet.control;

import islet.site.DaySet;
import islet.site.Site;
import islet.site.Site.MinuteSpan;
import java.time.LocalDate;
import java.util.List;

/**
 * Which windows of a schedule hold on which of the next days, looked up once a day so that a scan
 * allocates nothing.
 */
final class DayTable {

  /** Today and a week: the next window of every weekday lies within. */
  static final int DAYS = 8;

  static final int MINUTES = 1440;

  private final Site site;
  private final MinuteSpan[] spans;
  private final DaySet[] sets;
  private final boolean[][] holds;
  private long today = Long.MIN_VALUE;

  DayTable(Site site, List<MinuteSpan> spans, List<DaySet> days) {
    this.site = site;
    this.spans = spans.toArray(new MinuteSpan[0]);
    sets = days.toArray(new DaySet[0]);
    holds = new boolean[DAYS][sets.length];
  }

  /** Turns to a local date, in days since 1970-01-01. */
  void turnTo(long day) {
    if (day == today) {
      return;
    }
    today = day;
    for (int d = 0; d < DAYS; d++) {
      LocalDate date = LocalDate.ofEpochDay(day + d);
      for (int i = 0; i < sets.length; i++) {
        holds[d][i] = sets[i].holds(date, site.tariff().holidays());
      }
    }
  }

  /** Whether a window holds today at this minute. */
  boolean open(int window, int minute) {
    return holds[0][window] && CivilClock.within(spans[window], minute);
  }

  /** Whether any window holds today at this minute. */
  boolean anyOpen(int minute) {
    for (int i = 0; i < spans.length; i++) {
      if (open(i, minute)) {
        return true;
      }
    }
    return false;
  }

  /**
   * In how many minutes of the wall's clock a window next begins, {@link Integer#MAX_VALUE} when it
   * does not within the week.
   */
  int minutesUntil(int window, int minute) {
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
