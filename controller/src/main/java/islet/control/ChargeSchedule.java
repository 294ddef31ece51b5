package islet.control;

import islet.site.Dispatch;
import islet.site.Site;
import islet.site.Site.ChargeWindow;
import islet.site.Site.ReserveWindow;

/**
 * Says when, how far and how hard the battery may be charged from the utility: windows of the day,
 * a reserve that warnings raise, and whether the next window is worth waiting for. Also whether
 * power may leave the site.
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
  private final DayTable days;
  private final ReserveWindow[] reserves;
  private final DayTable reserveDays;
  private final DayTable exportDays;
  private final boolean exportAtAnyTime;
  private final Dispatch dispatch;
  private final WarningBoard warnings;
  private final UtilityTrust trust;
  private double reserve;
  private boolean belowReserve;
  private boolean waitless;
  private boolean waitlessDone;
  private double confidence = 1;
  private long minuteJudged = Long.MIN_VALUE;
  private int nextWindow = -1;
  private boolean windowDone;
  private boolean allowed;
  private double limitA;

  ChargeSchedule(Site site, WarningBoard warnings, UtilityTrust trust) {
    this.site = site;
    clock = new CivilClock(site.place().zone());
    windows = site.supervision().chargeWindows().toArray(new ChargeWindow[0]);
    this.warnings = warnings;
    this.trust = trust;
    dispatch = site.supervision().dispatch();
    days = new DayTable(site, site.supervision().chargeWindows());
    reserves = site.supervision().reserveWindows().toArray(new ReserveWindow[0]);
    reserveDays = new DayTable(site, site.supervision().reserveWindows());
    exportDays = new DayTable(site, dispatch.exportWindows());
    exportAtAnyTime = dispatch.exportWindows().isEmpty();
    reserve = site.supervision().reserveSoc();
  }

  /** Decides for a scan; tells an event when charging no longer waits for its window. */
  void decide(double soc, long now, Outputs out) {
    reserve = reserveAt(now);
    long day = clock.day(now);
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
      if (days.open(i, day, minute)) {
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
    judgeWaiting(day, minute, now, out);
    chargeUnwaited(soc, inWindow);
  }

  /** Once a minute: whether the utility is trusted to be there in the next window. */
  private void judgeWaiting(long day, int minute, long now, Outputs out) {
    long minuteOfEra = now / 60_000_000L;
    if (minuteOfEra == minuteJudged) {
      return;
    }
    minuteJudged = minuteOfEra;
    int soonest = Integer.MAX_VALUE;
    nextWindow = -1;
    for (int i = 0; i < windows.length; i++) {
      int in = days.minutesUntil(i, day, minute);
      if (in < soonest) {
        soonest = in;
        nextWindow = i;
      }
    }
    if (nextWindow < 0) {
      confidence = 1;
      waitless = false;
      return;
    }
    double inHours = soonest / 60.0;
    confidence = trust.confidence(inHours, days.length(nextWindow) / 60.0);
    if (warnings.any() && warnings.lastUntil() > now + GridQualification.micros(3600 * inHours)) {
      confidence = Math.min(confidence, dispatch.warning().confidence());
    }
    boolean doubts = confidence < dispatch.waitConfidence();
    if (doubts != waitless) {
      waitless = doubts;
      out.event(
          "schedule",
          doubts ? "WAIT" : "NOW",
          doubts ? "NOW" : "WAIT",
          doubts
              ? "the utility may not be there in the next charge window"
              : "the utility is trusted to be there in the next charge window");
    }
  }

  /** Who does not trust the next window charges to its goal now. */
  private void chargeUnwaited(double soc, boolean inWindow) {
    if (!waitless || inWindow || nextWindow < 0) {
      waitlessDone = false;
      return;
    }
    double goal = windows[nextWindow].untilSoc();
    if (soc >= goal) {
      waitlessDone = goal < 1;
    } else if (soc < goal - RESERVE_HYSTERESIS) {
      waitlessDone = false;
    }
    if (!waitlessDone) {
      allowed = true;
      limitA = Math.min(limitA, windows[nextWindow].maximumA());
    }
  }

  /**
   * How surely the utility is there for the whole of the next charge window, 0 to 1; 1 when there
   * is none.
   */
  double confidence() {
    return confidence;
  }

  /** Whether power may leave the site at an instant. */
  boolean mayExport(long now) {
    return exportAtAnyTime || exportDays.anyOpen(clock.day(now), clock.minuteOfDay(now));
  }

  /**
   * A plan holds, and stands in for the windows; what is below the reserve is charged all the same.
   *
   * @param charges whether it wants the utility to charge now
   * @param amps and with how much, A
   */
  void planned(boolean charges, double amps) {
    if (belowReserve) {
      allowed = true;
      limitA = site.utilityChargeA();
    } else {
      allowed = charges;
      limitA = Math.min(site.utilityChargeA(), amps);
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
    waitless = memory.flag("waitless", waitless);
    waitlessDone = memory.flag("waitless done", waitlessDone);
    confidence = memory.number("confidence", confidence);
    minuteJudged = memory.count("minute judged", minuteJudged);
    nextWindow = (int) memory.count("next window", nextWindow);
  }

  /** The reserve in force, 0 to 1, as of the last decision. */
  double reserveSoc() {
    return reserve;
  }

  /** The reserve at an instant, 0 to 1. */
  double reserveAt(long now) {
    long day = clock.day(now);
    int minute = clock.minuteOfDay(now);
    double highest = -1;
    for (int i = 0; i < reserves.length; i++) {
      if (reserveDays.open(i, day, minute)) {
        highest = Math.max(highest, reserves[i].reserveSoc());
      }
    }
    double usual = highest < 0 ? site.supervision().reserveSoc() : highest;
    return warnings.any() && now < warnings.lastUntil()
        ? Math.max(usual, dispatch.warning().reserveSoc())
        : usual;
  }
}
