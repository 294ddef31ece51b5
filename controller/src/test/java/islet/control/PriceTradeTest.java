package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.RegulatorTelemetry;
import islet.site.Dispatch.Trade;
import islet.site.Site;
import java.time.LocalDateTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * When a kWh out of the battery is worth more than putting it back costs, judged by the demo site's
 * tariff (0.11 from 0 to 6, 0.34 from 16 to 21, 0.19 else, credit 0.08) and charge window (0 to 5),
 * and by prices that are exact in binary where an edge is asked.
 */
class PriceTradeTest {

  private static final long SECOND = 1_000_000;

  private final Outputs out = new Outputs();
  private Site site = trading("loads");
  private PriceTrade trade = new PriceTrade(site);

  private static Site trading(String what, String... more) {
    String[] settings = new String[more.length + 2];
    settings[0] = "supervision.dispatch";
    settings[1] = "{ trade: " + what + " }";
    System.arraycopy(more, 0, settings, 2, more.length);
    return Sites.demo(settings);
  }

  private void use(Site other) {
    site = other;
    trade = new PriceTrade(other);
  }

  private long at(String local) {
    return LocalDateTime.parse(local).atZone(site.place().zone()).toEpochSecond() * SECOND;
  }

  private Trade decide(String local, double roundTrip) {
    return decide(at(local), roundTrip);
  }

  private Trade decide(long now, double roundTrip) {
    out.begin();
    trade.decide(true, true, roundTrip, now, out);
    return trade.trade();
  }

  @Test
  void aSiteThatDoesNotTradeNeverDoes() {
    use(Sites.demo());
    assertEquals(Trade.NONE, decide("2026-01-14T18:00", 1));
  }

  /** 0.11 of the night against 0.7 of 0.11, 0.19 and 0.34; each band from its first microsecond. */
  @Test
  void pricesAreAskedAnewWhenABandBegins() {
    assertEquals(Trade.LOADS, decide(at("2026-01-15T00:00") - 1, 0.7));
    assertEquals(Trade.NONE, decide("2026-01-15T00:00", 0.7));
    assertEquals(Trade.NONE, decide(at("2026-01-15T06:00") - 1, 0.7));
    assertEquals(Trade.LOADS, decide("2026-01-15T06:00", 0.7));
  }

  @Test
  void aClockSetBackByDaysAsksThePricesAnew() {
    assertEquals(Trade.LOADS, decide("2026-01-14T12:00", 0.7));
    assertEquals(Trade.NONE, decide("2026-01-11T02:00", 0.7));
    assertEquals(Trade.LOADS, decide("2026-01-08T12:00", 0.7));
  }

  /** Half of 0.50 is no more than the 0.25 that the window costs. */
  @ParameterizedTest
  @CsvSource({"0.50, NONE", "0.501, LOADS"})
  void whatOnlyPaysEvenIsNotTraded(double roundTrip, Trade expected) {
    use(
        trading(
            "loads",
            "tariff.bands",
            "[{ name: night, between: \"00:00-06:00\", import: 0.25 USD/kWh },"
                + " { name: day, import: 0.50 USD/kWh }]"));
    assertEquals(expected, decide("2026-01-14T12:00", roundTrip));
  }

  @ParameterizedTest
  @CsvSource({"0.50, LOADS", "0.501, EXPORT"})
  void norIsExportedWhatOnlyPaysEven(double roundTrip, Trade expected) {
    use(
        trading(
            "export",
            "tariff.exportCredit",
            "0.50 USD/kWh",
            "tariff.bands",
            "[{ name: night, between: \"00:00-06:00\", import: 0.25 USD/kWh },"
                + " { name: day, import: 0.75 USD/kWh }]"));
    assertEquals(expected, decide("2026-01-14T12:00", roundTrip));
  }

  /** Who has no window puts back from the sun, which forgoes the credit of 0.08. */
  @Test
  void withoutWindowsTheSunPutsItBack() {
    use(trading("loads", "supervision.chargeWindows", "[]"));
    assertEquals(Trade.NONE, decide("2026-01-14T02:00", 0.7)); // 0.077
    assertEquals(Trade.LOADS, decide("2026-01-14T02:00", 0.75)); // 0.0825
  }

  /** On a Wednesday afternoon nobody knows yet what the Saturday costs. */
  @Test
  void withoutAWindowInTheNextDayNothingIsTraded() {
    use(trading("loads", "supervision.chargeWindows.1.on", "[saturday]"));
    assertEquals(Trade.NONE, decide("2026-01-14T18:00", 1));
    assertEquals(Trade.LOADS, decide("2026-01-16T18:00", 1));
  }

  /** Of the window's hours the cheapest counts, also the 24th from now. */
  @Test
  void theCheapestHourOfTheNextDaysWindowsCounts() {
    use(trading("loads", "supervision.chargeWindows.1.between", "15:00-20:00"));
    assertEquals(Trade.NONE, decide("2026-01-14T12:00", 0.9), "0.19 at 15:00 against 0.171");
    assertEquals(Trade.LOADS, decide("2026-01-14T16:00", 0.9), "0.19 at 15:00 tomorrow");
  }

  @Test
  void theReasonIsTold() {
    decide("2026-01-14T12:00", 0.7);
    assertEquals(1, out.events());
    assertEquals("trade", out.kind(0));
    assertEquals("NONE", out.from(0));
    assertEquals("LOADS", out.to(0));
    assertEquals("a kWh from the battery is worth more than putting it back costs", out.reason(0));
    decide("2026-01-14T12:00", 0.7);
    assertEquals(0, out.events());
    out.begin();
    trade.decide(true, false, 0.7, at("2026-01-14T12:00"), out);
    assertEquals(Trade.NONE, trade.trade());
    assertEquals("LOADS", out.from(0));
    assertEquals("the battery is at its reserve", out.reason(0));
    decide("2026-01-14T12:00", 0.7);
    out.begin();
    trade.decide(false, true, 0.7, at("2026-01-14T12:00"), out);
    assertEquals(Trade.NONE, trade.trade());
    assertEquals("it no longer pays, or may not be", out.reason(0));
  }

  /** The inverter draws 20 A; one more than that covers it, by fresh words of both. */
  @ParameterizedTest
  @CsvSource({
    "21.1, 0, 0, true",
    "21.0, 0, 0, false",
    "21.1, 3, 0, true",
    "21.1, 3.1, 0, false",
    "21.1, 0, 3, true",
    "21.1, 0, 3.1, false",
  })
  void theSunCoversTheFeedWhenItGivesMore(
      double sunA, double regulatorAgeS, double inverterAgeS, boolean covers) {
    Inputs in = new Inputs();
    long now = at("2026-01-14T12:00");
    in.take(
        new RegulatorTelemetry(0, now, 50, 25, 0, 0, sunA, 0, 0, ChargeStage.BULK, true, false),
        now - Math.round(regulatorAgeS * SECOND));
    in.take(
        new InverterTelemetry(
            0, now, 50, -20, 900, 1, 60, InverterState.FOLLOWING, InverterTrip.NONE, false, false),
        now - Math.round(inverterAgeS * SECOND));
    assertEquals(covers, PriceTrade.sunCovers(in, now));
    if (covers) {
      assertFalse(PriceTrade.sunCovers(in, now + 4 * SECOND), "not by an old word");
    }
  }
}
