package islet.control;

import islet.site.Site;
import islet.site.Site.ChargeWindow;
import islet.site.Site.ReserveWindow;
import java.time.LocalDate;

/**
 * Says when, how far and how hard the battery may be charged from the utility: windows of the day,
 * and a reserve.
 */
final class ChargeSchedule {

  /**
   * Below the reserve by this much, the utility charges outside the windows too, back up to the
   * reserve.
   */
  private static final double RESERVE_HYSTERESIS = 0.05;

  private final Site site;
  private final CivilClock clock;
  private final ChargeWindow[] windows;
  private final boolean[] onToday;
  private final ReserveWindow[] reserves;
  private final boolean[] reserveToday;
  private double reserve;
  private long today = Long.MIN_VALUE;
  private boolean belowReserve;
  private boolean windowDone;
  private boolean allowed;
  private double limitA;

  ChargeSchedule(Site site) {
    this.site = site;
    clock = new CivilClock(site.place().zone());
    windows = site.supervision().chargeWindows().toArray(new ChargeWindow[0]);
    onToday = new boolean[windows.length];
    reserves = site.supervision().reserveWindows().toArray(new ReserveWindow[0]);
    reserveToday = new boolean[reserves.length];
    reserve = site.supervision().reserveSoc();
  }

  void decide(double soc, long now) {
    reserve = reserveAt(now);
    int minute = clock.minuteOfDay(now);
    if (soc < reserve - RESERVE_HYSTERESIS) {
      belowReserve = true;
    } else if (soc >= reserve) {
      belowReserve = false;
    }
    boolean inWindow = false;
    limitA = site.utilityChargeA();
    allowed = belowReserve;
    for (int i = 0; i < windows.length; i++) {
      ChargeWindow window = windows[i];
      if (onToday[i] && CivilClock.within(window.span(), minute)) {
        inWindow = true;
        // A window that goes to 100 % holds a full battery afloat to its end.
        // Once a lower goal is reached the window is done; a small fall must not start it over and
        // over.
        if (soc >= window.untilSoc() && window.untilSoc() < 1) {
          windowDone = true;
        }
        if (!windowDone) {
          allowed = true;
          limitA = Math.min(limitA, window.maximumA());
        }
      }
    }
    if (!inWindow) {
      windowDone = false;
    }
  }

  /** Looks the windows' days up once a day, so that a scan allocates nothing. */
  private void turnTo(long day) {
    if (day != today) {
      today = day;
      LocalDate date = LocalDate.ofEpochDay(day);
      for (int i = 0; i < windows.length; i++) {
        onToday[i] = windows[i].days().holds(date, site.tariff().holidays());
      }
      for (int i = 0; i < reserves.length; i++) {
        reserveToday[i] = reserves[i].days().holds(date, site.tariff().holidays());
      }
    }
  }

  /** Whether the utility may charge the battery now. */
  boolean allowed() {
    return allowed;
  }

  /** The most current from the utility, A. */
  double limitA() {
    return limitA;
  }

  void remember(Memory memory) {
    belowReserve = memory.flag("below reserve", belowReserve);
    windowDone = memory.flag("window done", windowDone);
  }

  /** The reserve in force, 0 to 1, as of the last decision. */
  double reserveSoc() {
    return reserve;
  }

  /** The reserve at an instant, 0 to 1. */
  double reserveAt(long now) {
    turnTo(clock.day(now));
    int minute = clock.minuteOfDay(now);
    double highest = -1;
    for (int i = 0; i < reserves.length; i++) {
      if (reserveToday[i] && CivilClock.within(reserves[i].span(), minute)) {
        highest = Math.max(highest, reserves[i].reserveSoc());
      }
    }
    return highest < 0 ? site.supervision().reserveSoc() : highest;
  }
}
