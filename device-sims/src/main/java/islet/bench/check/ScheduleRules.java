package islet.bench.check;

import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.NOTE;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import islet.site.Tariff;
import java.util.List;

/** Charge windows and prices. */
final class ScheduleRules {

  private static final String ARITHMETIC = "arithmetic on the site's own figures";
  private static final double EDGE = 1e-9;

  private ScheduleRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "window-fill",
              DOUBTFUL,
              "charge windows long enough to fill from the reserve to what they ask",
              "The bank starts the day emptier than planned, and nobody is told.",
              ARITHMETIC,
              ScheduleRules::windowFill),
          new Rule(
              "window-reserve",
              WRONG,
              "charge windows that go above the reserve",
              "Up to the reserve the utility charges at any hour: such a window does nothing.",
              ARITHMETIC,
              ScheduleRules::windowReserve),
          new Rule(
              "window-price",
              DOUBTFUL,
              "charge windows within the cheapest band of the tariff",
              "Energy for the bank is bought dearer than it need be.",
              ARITHMETIC,
              ScheduleRules::windowPrice),
          new Rule(
              "window-none",
              NOTE,
              "a charge window, where a utility can charge",
              "Without one, the utility charges only below the reserve: after a dull week an outage"
                  + " finds the bank there.",
              "common practice",
              ScheduleRules::windowNone),
          new Rule(
              "export-credit",
              DOUBTFUL,
              "an export credit no higher than the import price of the same hour",
              "Energy could be bought and sold back at a profit: most likely the two prices are"
                  + " swapped or in the wrong unit.",
              "common practice",
              ScheduleRules::exportCredit),
          new Rule(
              "export-unpaid",
              NOTE,
              "a credit for what may be exported",
              "Surplus is given away; a heater or a later wash may be worth more.",
              "common practice",
              ScheduleRules::exportUnpaid));

  private static void windowFill(Subject s, Findings f) {
    List<Site.ChargeWindow> windows = s.supervision().chargeWindows();
    double reserve = s.supervision().reserveSoc();
    double until = reserve;
    double canAh = 0;
    // Where the inverter carries the loads all day, the window's current feeds them first.
    double loadA =
        s.site().arrangement() == Site.Arrangement.CHARGER_ONLY ? s.dcA(s.critical().meanW()) : 0;
    for (Site.ChargeWindow window : windows) {
      double a = Math.min(window.maximumA(), s.limits().maximumChargeA()) - loadA;
      canAh += Math.max(0, a) * Minutes.length(window.span()) / 60;
      until = Math.max(until, window.untilSoc());
    }
    double needAh = (until - reserve) * s.battery().capacity20hAh() * s.ampHoursIn();
    if (!windows.isEmpty() && canAh < needAh - EDGE) {
      f.tell(
          DOUBTFUL,
          "supervision.chargeWindows",
          "from the reserve of "
              + Say.share(reserve)
              + " to "
              + Say.share(until)
              + " takes "
              + Say.number(needAh, 0)
              + " Ah with losses; a day's windows bring "
              + Say.number(canAh, 0)
              + " Ah",
          "A longer window, more current, or a lower untilSoc.");
    }
  }

  private static void windowReserve(Subject s, Findings f) {
    List<Site.ChargeWindow> windows = s.supervision().chargeWindows();
    for (int i = 0; i < windows.size(); i++) {
      if (windows.get(i).untilSoc() <= s.supervision().reserveSoc() + EDGE) {
        f.tell(
            WRONG,
            "supervision.chargeWindows." + (i + 1) + ".untilSoc",
            Say.share(windows.get(i).untilSoc())
                + "; the reserve is "
                + Say.share(s.supervision().reserveSoc()),
            "Raise it above the reserve, or take the window out.");
      }
    }
  }

  private static void windowPrice(Subject s, Findings f) {
    // With a charger alone the utility's energy for the loads goes through the bank at any hour.
    if (s.site().arrangement() == Site.Arrangement.CHARGER_ONLY) {
      return;
    }
    List<Site.ChargeWindow> windows = s.supervision().chargeWindows();
    for (int i = 0; i < windows.size(); i++) {
      Site.MinuteSpan span = windows.get(i).span();
      int dear = 0;
      double highest = 0;
      for (Tariff.Season season : s.site().tariff().seasons()) {
        for (Tariff.DayBands day : season.days()) {
          int minutes = dearMinutes(span, day.bands());
          if (minutes > dear) {
            dear = minutes;
            highest = highest(span, day.bands());
          }
        }
      }
      if (dear > 0) {
        f.tell(
            DOUBTFUL,
            "supervision.chargeWindows." + (i + 1) + ".between",
            Say.number(dear / 60.0, 2)
                + " h of "
                + Say.number(Minutes.length(span) / 60.0, 2)
                + " h lie outside the day's cheapest band, at up to "
                + Say.number(highest, 4)
                + " "
                + s.site().tariff().currency()
                + "/kWh",
            "Move the window into the cheapest band, unless full all day is what is wanted.");
      }
    }
  }

  private static double price(List<Tariff.Band> bands, int minute) {
    for (Tariff.Band band : bands) {
      if (Minutes.holds(band.span(), minute)) {
        return band.importPerKWh();
      }
    }
    throw new IllegalStateException("no band holds minute " + minute + " of the day");
  }

  private static int dearMinutes(Site.MinuteSpan span, List<Tariff.Band> bands) {
    double cheapest = Double.POSITIVE_INFINITY;
    for (int minute = 0; minute < Minutes.A_DAY; minute++) {
      cheapest = Math.min(cheapest, price(bands, minute));
    }
    int dear = 0;
    for (int minute = 0; minute < Minutes.A_DAY; minute++) {
      if (Minutes.holds(span, minute) && price(bands, minute) > cheapest + EDGE) {
        dear++;
      }
    }
    return dear;
  }

  private static double highest(Site.MinuteSpan span, List<Tariff.Band> bands) {
    double highest = 0;
    for (int minute = 0; minute < Minutes.A_DAY; minute++) {
      if (Minutes.holds(span, minute)) {
        highest = Math.max(highest, price(bands, minute));
      }
    }
    return highest;
  }

  private static void windowNone(Subject s, Findings f) {
    if (s.site().utilityChargeA() > 0 && s.supervision().chargeWindows().isEmpty()) {
      f.tell(
          NOTE,
          "supervision.chargeWindows",
          "no window",
          "Give one in the cheapest band if the reserve alone is not enough.");
    }
  }

  private static void exportCredit(Subject s, Findings f) {
    if (!s.site().arrangement().mayFeed()) {
      return;
    }
    for (Tariff.Season season : s.site().tariff().seasons()) {
      for (Tariff.DayBands day : season.days()) {
        for (Tariff.Band band : day.bands()) {
          if (band.exportPerKWh() > band.importPerKWh()) {
            f.tell(
                DOUBTFUL,
                "tariff.exportCredit",
                Say.number(band.exportPerKWh(), 4)
                    + " "
                    + s.site().tariff().currency()
                    + "/kWh in the band "
                    + band.name()
                    + ", whose import price is "
                    + Say.number(band.importPerKWh(), 4),
                "Compare both with the utility's price sheet.");
            return;
          }
        }
      }
    }
  }

  private static void exportUnpaid(Subject s, Findings f) {
    boolean paid =
        s.site().tariff().seasons().stream()
            .flatMap(season -> season.days().stream())
            .flatMap(day -> day.bands().stream())
            .anyMatch(band -> band.exportPerKWh() > 0);
    if (s.site().arrangement().mayFeed() && s.site().utility().exportLimitW() > 0 && !paid) {
      f.tell(
          NOTE,
          "tariff.exportCredit",
          "no credit in any band; up to "
              + Say.watts(s.site().utility().exportLimitW())
              + " may be exported",
          "Set the credit, or exportLimit: 0 W if export is not wanted.");
    }
  }
}
