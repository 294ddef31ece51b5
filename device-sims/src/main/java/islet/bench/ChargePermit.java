package islet.bench;

import islet.control.CivilClock;
import islet.site.Dispatch;
import islet.site.Site;
import islet.site.Site.ChargeWindow;
import islet.site.Site.ReserveWindow;
import java.time.LocalDate;

/**
 * Up to which state of charge a site's description lets the utility charge the battery at an
 * instant: by its charge windows and its reserves, without asking the supervisor.
 */
final class ChargePermit {

  private static final long MICROS_PER_MINUTE = 60_000_000L;

  private final Site site;
  private final CivilClock clock;
  private final ChargeWindow[] windows;
  private final ReserveWindow[] reserves;
  private final double highestGoal;
  private long judged = Long.MIN_VALUE;
  private double windowSoc;
  private double reserveSoc;

  ChargePermit(Site site) {
    this.site = site;
    clock = new CivilClock(site.place().zone());
    windows = site.supervision().chargeWindows().toArray(new ChargeWindow[0]);
    reserves = site.supervision().reserveWindows().toArray(new ReserveWindow[0]);
    double highest = 0;
    for (ChargeWindow window : windows) {
      highest = Math.max(highest, window.untilSoc());
    }
    highestGoal = highest;
  }

  /** The goal of the open charge window, 0 to 1; 0 when none is open. */
  double windowSoc(long now) {
    turnTo(now);
    return windowSoc;
  }

  /**
   * What is kept for an outage, 0 to 1.
   *
   * @param warned whether somebody's warning stands
   */
  double reserveSoc(long now, boolean warned) {
    turnTo(now);
    Dispatch.Warning warning = site.supervision().dispatch().warning();
    return warned ? Math.max(reserveSoc, warning.reserveSoc()) : reserveSoc;
  }

  /** The highest goal of any charge window, 0 to 1; 0 when there is none. */
  double highestGoal() {
    return highestGoal;
  }

  /** Windows begin and end on whole minutes of the wall's clock. */
  private void turnTo(long now) {
    long minute = Math.floorDiv(now, MICROS_PER_MINUTE);
    if (minute == judged) {
      return;
    }
    judged = minute;
    LocalDate today = LocalDate.ofEpochDay(clock.day(now));
    int ofDay = clock.minuteOfDay(now);
    windowSoc = 0;
    for (ChargeWindow window : windows) {
      if (window.holds(today, ofDay, site.tariff().holidays())) {
        windowSoc = Math.max(windowSoc, window.untilSoc());
      }
    }
    double highest = -1;
    for (ReserveWindow window : reserves) {
      if (window.holds(today, ofDay, site.tariff().holidays())) {
        highest = Math.max(highest, window.reserveSoc());
      }
    }
    reserveSoc = highest < 0 ? site.supervision().reserveSoc() : highest;
  }
}
