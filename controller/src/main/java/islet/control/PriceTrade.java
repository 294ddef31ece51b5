package islet.control;

import islet.site.Dispatch;
import islet.site.Site;
import islet.site.TariffClock;

/**
 * Whether the battery gives while energy is dear. It pays when what a kWh from the battery saves or
 * earns, times the share that comes back of a kWh put in, is more than what putting it in costs:
 * the cheapest import of the next day within a charge window, or, without windows, the export
 * credit that the sun's energy would have had. Wear of the battery is not reckoned.
 *
 * <p>The tariff is asked only where its prices change, so that a scan between allocates nothing.
 */
final class PriceTrade {

  /** The sun covers what the inverter draws when it gives so much more, A. */
  private static final double COVERED_A = 1;

  private static final long DAY = 86_400_000_000L;

  private final Site site;
  private final Dispatch dispatch;
  private final TariffClock prices;
  private final TariffClock ahead;
  private final CivilClock clock;
  private final DayTable windows;
  private double importPerKWh;
  private double exportPerKWh;
  private double replacePerKWh;
  private long pricedUntil = Long.MIN_VALUE;
  private Dispatch.Trade trade = Dispatch.Trade.NONE;

  PriceTrade(Site site) {
    this.site = site;
    dispatch = site.supervision().dispatch();
    prices = new TariffClock(site.tariff(), site.place().zone());
    ahead = new TariffClock(site.tariff(), site.place().zone());
    clock = new CivilClock(site.place().zone());
    windows = new DayTable(site, site.supervision().chargeWindows());
  }

  /**
   * Decides for a scan.
   *
   * @param may whether anything may be traded now: connected, qualified, nobody's hand on it, no
   *     charging asked for
   * @param above whether the battery is above what is kept from trade
   * @param roundTrip the share that comes back, 0 to 1
   */
  void decide(boolean may, boolean above, double roundTrip, long now, Outputs out) {
    if (dispatch.trade() == Dispatch.Trade.NONE) {
      return;
    }
    if (now >= pricedUntil || now < pricedUntil - 2 * DAY) {
      price(now);
    }
    Dispatch.Trade next = Dispatch.Trade.NONE;
    if (may && above) {
      boolean exports =
          dispatch.trade() == Dispatch.Trade.EXPORT && exportPerKWh * roundTrip > replacePerKWh;
      boolean carries = importPerKWh * roundTrip > replacePerKWh;
      next = exports ? Dispatch.Trade.EXPORT : carries ? Dispatch.Trade.LOADS : Dispatch.Trade.NONE;
    }
    if (next != trade) {
      out.event(
          "trade",
          trade.name(),
          next.name(),
          next == Dispatch.Trade.NONE
              ? above ? "it no longer pays, or may not be" : "the battery is at its reserve"
              : "a kWh from the battery is worth more than putting it back costs");
      trade = next;
    }
  }

  private void price(long now) {
    prices.turnTo(now);
    importPerKWh = prices.importPerKWh();
    exportPerKWh = prices.exportPerKWh();
    pricedUntil = prices.untilMicros();
    boolean windowed = !site.supervision().chargeWindows().isEmpty();
    double cheapest = Double.POSITIVE_INFINITY;
    // Hour by hour is fine enough: bands and windows are hours long.
    for (long at = now; at < now + DAY; at += DAY / 24) {
      ahead.turnTo(at);
      if (windowed && !windows.anyOpen(clock.day(at), clock.minuteOfDay(at))) {
        continue;
      }
      cheapest = Math.min(cheapest, windowed ? ahead.importPerKWh() : ahead.exportPerKWh());
    }
    replacePerKWh = cheapest;
  }

  /** What the battery gives for now. */
  Dispatch.Trade trade() {
    return trade;
  }

  /**
   * Whether the sun alone covers what the inverter draws, so that the ordinary feed, which never
   * discharges the battery, serves the loads and lets the rest go.
   */
  static boolean sunCovers(Inputs in, long now) {
    return now - in.regulatorAt() <= BatteryEstimate.FRESH_MICROS
        && now - in.inverterAt() <= BatteryEstimate.FRESH_MICROS
        && in.regulator().outputCurrentA() > -in.inverter().dcCurrentA() + COVERED_A;
  }

  void remember(Memory memory) {
    trade = memory.word("trade", trade);
    importPerKWh = memory.number("import at", importPerKWh);
    exportPerKWh = memory.number("export at", exportPerKWh);
    replacePerKWh = memory.number("replace at", replacePerKWh);
    pricedUntil = memory.instant("priced until", pricedUntil);
  }
}
