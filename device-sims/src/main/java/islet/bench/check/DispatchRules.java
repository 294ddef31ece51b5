package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.WRONG;

import islet.site.Dispatch;
import islet.site.Site;
import islet.site.Tariff;
import java.util.List;

/** What battery and feed do for the bill, and how far the utility is trusted. */
final class DispatchRules {

  private static final String ARITHMETIC = "arithmetic on the site's own figures";
  private static final double EDGE = 1e-9;

  private DispatchRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "trade-pays",
              DOUBTFUL,
              "trade at prices whose ratio pays the round trip",
              "The battery waits for an hour that never comes.",
              ARITHMETIC,
              DispatchRules::tradePays),
          new Rule(
              "trade-room",
              DOUBTFUL,
              "room between reserve and what the windows fill to, where the battery trades",
              "There is nothing to trade: what is filled is what must be kept.",
              ARITHMETIC,
              DispatchRules::tradeRoom),
          new Rule(
              "export-window",
              WRONG,
              "export windows only where anything may be exported",
              "The windows permit what the export limit forbids.",
              ARITHMETIC,
              DispatchRules::exportWindow),
          new Rule(
              "warning-reserve",
              DOUBTFUL,
              "a reserve while warned above the plain one",
              "A warning changes nothing about the reserve.",
              "common practice",
              DispatchRules::warningReserve),
          new Rule(
              "wait-warning",
              DOUBTFUL,
              "trust while warned below the trust that waiting asks for",
              "With a warning of a storm the battery still waits for the cheap window.",
              ARITHMETIC,
              DispatchRules::waitWarning));

  private static void tradePays(Subject s, Findings f) {
    Dispatch d = s.supervision().dispatch();
    List<Site.ChargeWindow> windows = s.supervision().chargeWindows();
    if (d.trade() == Dispatch.Trade.NONE || windows.isEmpty()) {
      return;
    }
    double dearest = 0;
    double cheapest = Double.POSITIVE_INFINITY;
    for (Tariff.Season season : s.site().tariff().seasons()) {
      for (Tariff.DayBands day : season.days()) {
        for (Tariff.Band band : day.bands()) {
          dearest = Math.max(dearest, band.importPerKWh());
          if (d.trade() == Dispatch.Trade.EXPORT) {
            dearest = Math.max(dearest, band.exportPerKWh());
          }
          cheapest = Math.min(cheapest, band.importPerKWh());
        }
      }
    }
    if (dearest * d.roundTrip() <= cheapest + EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.dispatch.trade",
          "the dearest hour at "
              + Say.number(dearest, 4)
              + " a kWh is worth "
              + Say.number(dearest * d.roundTrip(), 4)
              + " after a round trip of "
              + Say.share(d.roundTrip())
              + "; the cheapest hour costs "
              + Say.number(cheapest, 4),
          "trade: none, or a tariff with wider steps.");
    }
  }

  private static void tradeRoom(Subject s, Findings f) {
    Dispatch d = s.supervision().dispatch();
    if (d.trade() == Dispatch.Trade.NONE || s.supervision().chargeWindows().isEmpty()) {
      return;
    }
    double until = 0;
    for (Site.ChargeWindow window : s.supervision().chargeWindows()) {
      until = Math.max(until, window.untilSoc());
    }
    // Trade begins 5 % above the reserve, by the charge that is surely there.
    if (until < s.supervision().reserveSoc() + 0.1 - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.dispatch.trade",
          "the windows fill to "
              + Say.share(until)
              + ", the reserve is "
              + Say.share(s.supervision().reserveSoc())
              + ", and trade begins 5 % above it",
          "A higher untilSoc, a lower reserve, or trade: none.");
    }
  }

  private static void exportWindow(Subject s, Findings f) {
    Dispatch d = s.supervision().dispatch();
    if (!d.exportWindows().isEmpty() && s.site().utility().exportLimitW() <= 0) {
      f.tell(
          WRONG,
          "supervision.dispatch.exportWindows",
          "windows for exports, and an export limit of 0 W",
          "Take the windows out, or state the limit that the utility has granted.");
    }
  }

  private static void warningReserve(Subject s, Findings f) {
    Dispatch.Warning warning = s.supervision().dispatch().warning();
    if (warning.reserveSoc() <= s.supervision().reserveSoc() + EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.dispatch.warning.reserve",
          Say.share(warning.reserveSoc())
              + "; the plain reserve is "
              + Say.share(s.supervision().reserveSoc()),
          "Raise it above the plain reserve.");
    }
  }

  private static void waitWarning(Subject s, Findings f) {
    Dispatch d = s.supervision().dispatch();
    if (d.waitConfidence() > 0 && d.warning().confidence() >= d.waitConfidence() - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.dispatch.warning.confidence",
          Say.share(d.warning().confidence())
              + "; waiting asks for "
              + Say.share(d.waitConfidence()),
          "Lower it, so that a warning ends the waiting.");
    }
  }
}
