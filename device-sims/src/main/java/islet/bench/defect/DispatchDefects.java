package islet.bench.defect;

import static islet.bench.defect.Defect.Part.SCHEDULE_AND_DISPATCH;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;
import static islet.bench.defect.SpoiltSupervisor.seeing;

import islet.contract.SupervisorCommand;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.site.DaySet;
import islet.site.Dispatch;
import islet.site.Dispatch.ExportWindow;
import islet.site.Site;
import islet.site.Site.ChargeWindow;
import islet.site.Site.MinuteSpan;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;

/** What can go wrong with windows, prices, reserve and shedding. */
final class DispatchDefects {

  static final List<Defect> ALL =
      List.of(
          new Defect(
              "export-window-ignored",
              "Export window ignored",
              "Power may leave the site at any hour: the windows are read and shown, and nobody"
                  + " asks them.",
              SCHEDULE_AND_DISPATCH,
              ordering(site -> (in, now, out) -> out.exportLimitW = Double.POSITIVE_INFINITY)),
          new Defect(
              "export-limit-not-withdrawn",
              "Export limit not withdrawn",
              "The export limit is sent when a feed begins and never again while it lasts, so that"
                  + " a window that closes meanwhile closes nothing.",
              SCHEDULE_AND_DISPATCH,
              ordering(site -> new LimitOfTheBeginning())),
          new Defect(
              "windows-in-utc",
              "Windows in universal time",
              "Times of day are compared with universal time instead of the site's own, so that"
                  + " every window opens and closes some hours off.",
              SCHEDULE_AND_DISPATCH,
              misreading(site -> SiteSlips.zone(site, ZoneOffset.UTC))),
          new Defect(
              "charge-window-ignored",
              "Charge windows ignored",
              "The utility charges whenever it is there: the windows are read and shown, and nobody"
                  + " asks them.",
              SCHEDULE_AND_DISPATCH,
              misreading(DispatchDefects::chargeAnyTime)),
          new Defect(
              "window-goal-ignored",
              "Goal of the charge window ignored",
              "In its window the utility charges on to a full battery: the state of charge at which"
                  + " it should stop is read and not compared.",
              SCHEDULE_AND_DISPATCH,
              misreading(DispatchDefects::withoutGoal)),
          new Defect(
              "override-in-minutes",
              "Length of an override taken as minutes",
              "A person's override is given in seconds and counted in minutes, so that it stands"
                  + " sixty times as long as was asked.",
              SCHEDULE_AND_DISPATCH,
              seeing(LongOverrides::new)),
          new Defect(
              "windows-in-standard-time",
              "Windows in standard time all year",
              "The site's distance from universal time is looked up once, for January, so that in"
                  + " summer every window opens and closes an hour late.",
              SCHEDULE_AND_DISPATCH,
              misreading(site -> SiteSlips.zone(site, januaryOffset(site)))),
          new Defect(
              "weekdays-off-by-one",
              "Weekdays counted from another day",
              "Days of the week are counted from Sunday where the settings count from Monday, so"
                  + " that an export window meant for Monday to Friday opens from Tuesday to"
                  + " Saturday.",
              SCHEDULE_AND_DISPATCH,
              misreading(DispatchDefects::aDayLater)));

  private DispatchDefects() {}

  private static Site chargeAnyTime(Site site) {
    return SiteSlips.chargeWindows(
        site, List.of(new ChargeWindow(new MinuteSpan(0, 1440), 1, site.utilityChargeA())));
  }

  private static Site withoutGoal(Site site) {
    return SiteSlips.chargeWindows(
        site,
        site.supervision().chargeWindows().stream()
            .map(w -> new ChargeWindow(w.span(), 1, w.maximumA(), w.days()))
            .toList());
  }

  private static final class LongOverrides extends Eyes {
    @Override
    SupervisorCommand ordered(SupervisorCommand c) {
      return switch (c.order()) {
        case OVERRIDE ->
            new SupervisorCommand(
                c.seq(), c.at(), c.lifetimeS(), c.order(), c.key(), 60 * c.forS());
        case ISLAND,
            RECONNECT,
            HOLD,
            RELEASE,
            ACKNOWLEDGE,
            RESET,
            SHELVE,
            UNSHELVE,
            END_OVERRIDE,
            AUTO,
            MANUAL,
            EQUALISE,
            WARN,
            ALL_CLEAR ->
            c;
      };
    }
  }

  private static ZoneOffset januaryOffset(Site site) {
    return site.place().zone().getRules().getOffset(LocalDate.of(2026, 1, 1).atStartOfDay());
  }

  private static Site aDayLater(Site site) {
    Dispatch d = site.supervision().dispatch();
    List<ExportWindow> later =
        d.exportWindows().stream()
            .map(window -> new ExportWindow(window.span(), aDayLater(window.days())))
            .toList();
    return SiteSlips.dispatch(
        site,
        new Dispatch(d.plan(), d.trade(), d.roundTrip(), later, d.waitConfidence(), d.warning()));
  }

  private static DaySet aDayLater(DaySet days) {
    return new DaySet(
        days.weekdays().stream().map(day -> day.plus(1)).toList(),
        days.holidays(),
        days.from(),
        days.to());
  }

  private static final class LimitOfTheBeginning implements Hands {
    private boolean feeds;
    private double limitW;

    @Override
    public void carryOut(Inputs in, long now, Outputs out) {
      boolean began = out.feedLimitW > 0 && !feeds;
      feeds = out.feedLimitW > 0;
      if (began) {
        limitW = out.exportLimitW;
      }
      if (feeds) {
        out.exportLimitW = limitW;
      }
    }
  }
}
