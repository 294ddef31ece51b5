package islet.bench.defect;

import static islet.bench.defect.Defect.Part.SCHEDULE_AND_DISPATCH;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;

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
              "windows-in-utc",
              "Windows in universal time",
              "Times of day are compared with universal time instead of the site's own, so that"
                  + " every window opens and closes some hours off.",
              SCHEDULE_AND_DISPATCH,
              misreading(site -> SiteSlips.zone(site, ZoneOffset.UTC))));

  private DispatchDefects() {}
}
