package islet.bench;

import islet.control.CivilClock;
import islet.site.Dispatch.ExportWindow;
import islet.site.Site;
import java.time.LocalDate;
import java.util.List;

/** Whether power may leave the site at an instant, by the site's description alone. */
final class ExportPermit {

  private static final long MICROS_PER_MINUTE = 60_000_000L;

  private final Site site;
  private final CivilClock clock;
  private final List<ExportWindow> windows;
  private long judged = Long.MIN_VALUE;
  private double limitW;

  ExportPermit(Site site) {
    this.site = site;
    clock = new CivilClock(site.place().zone());
    windows = site.supervision().dispatch().exportWindows();
    limitW = site.utility().exportLimitW();
  }

  /** The most that may leave the site now, W. */
  double limitW(long now) {
    if (windows.isEmpty()) {
      return limitW;
    }
    // Windows begin and end on whole minutes of the wall's clock.
    long minute = Math.floorDiv(now, MICROS_PER_MINUTE);
    if (minute != judged) {
      judged = minute;
      limitW = open(now) ? site.utility().exportLimitW() : 0;
    }
    return limitW;
  }

  private boolean open(long now) {
    LocalDate today = LocalDate.ofEpochDay(clock.day(now));
    int minute = clock.minuteOfDay(now);
    return windows.stream()
        .anyMatch(window -> window.holds(today, minute, site.tariff().holidays()));
  }
}
