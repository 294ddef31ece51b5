package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import islet.bench.RunResult.Entry;
import islet.site.Site.MinuteSpan;
import islet.site.Site.PriceBand;
import islet.site.Site.Tariff;
import java.time.LocalDateTime;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Judged by arithmetic on the clock of the wall in America/Chicago: in 2026 clocks go forward on 8
 * March at 02:00 and back on 1 November at 02:00 (time zone database).
 */
class BillTest {

  private static final double KWH = 3.6e6;

  private static long local(String text) {
    return LocalDateTime.parse(text).atZone(TestSites.CHICAGO).toEpochSecond() * 1_000_000L;
  }

  private static Bill bill(String start) {
    return new Bill(TestSites.TARIFF, TestSites.CHICAGO, local(start));
  }

  private static double entry(Bill bill, String name) {
    return bill.entries().stream()
        .filter(e -> e.name().equals(name))
        .mapToDouble(Entry::value)
        .findFirst()
        .orElseThrow();
  }

  @Test
  void aDayIsBilledByItsBands() {
    Bill bill = bill("2026-01-14T00:00");
    // 1 kWh in every hour: 6 h at 0.10, 10 + 3 h at 0.20, 5 h at 0.40.
    for (int hour = 1; hour <= 24; hour++) {
      bill.add(local("2026-01-14T00:00") + hour * 3_600_000_000L, KWH, 0);
    }
    assertEquals(24, entry(bill, "import_kWh"), 1e-9);
    assertEquals(6 * 0.1 + 13 * 0.2 + 5 * 0.4, entry(bill, "import_USD"), 1e-9);
    assertEquals(0.48, entry(bill, "standing_USD"), 1e-9);
  }

  @Test
  void exportIsCreditedAndTheTotalIsWhatIsOwed() {
    Bill bill = bill("2026-06-14T12:00");
    bill.add(local("2026-06-14T15:00"), 2 * KWH, 10 * KWH);
    assertEquals(10, entry(bill, "export_kWh"), 1e-9);
    assertEquals(0.5, entry(bill, "export_credit_USD"), 1e-9);
    assertEquals(0.48 * 3 / 24, entry(bill, "standing_USD"), 1e-9);
    assertEquals(0.4 - 0.5 + 0.06, entry(bill, "total_USD"), 1e-9);
  }

  @Test
  void anIntervalAcrossAPriceChangeIsSplitByTime() {
    Bill bill = bill("2026-01-14T15:30");
    bill.add(local("2026-01-14T16:30"), KWH, 0);
    assertEquals(0.5 * 0.2 + 0.5 * 0.4, entry(bill, "import_USD"), 1e-9);
    assertEquals(0.4, bill.importPrice());
    assertEquals(local("2026-01-14T21:00"), bill.nextChangeMicros());
  }

  @Test
  void onTheDayThatClocksGoForwardTheNightIsAnHourShort() {
    assertEquals(5 * 0.1, nightOf("2026-03-08"), 1e-9);
  }

  @Test
  void onTheDayThatClocksGoBackTheNightIsAnHourLong() {
    assertEquals(7 * 0.1, nightOf("2026-11-01"), 1e-9);
  }

  /** The cost of 1 kW from midnight to six by the clock on the wall. */
  private static double nightOf(String date) {
    long from = local(date + "T00:00");
    long until = local(date + "T06:00");
    Bill bill = new Bill(TestSites.TARIFF, TestSites.CHICAGO, from);
    bill.add(until, (until - from) / 3.6e9 * KWH, 0);
    assertEquals(0.2, bill.importPrice());
    return entry(bill, "import_USD");
  }

  @Test
  void theStandingChargeOfALongAndOfAShortDayIsThatOfADay() {
    for (String date : List.of("2026-03-08", "2026-11-01", "2026-01-14")) {
      Bill bill = bill(date + "T00:00");
      bill.add(local(date + "T00:00") + 1, 0, 0);
      bill.add(
          LocalDateTime.parse(date + "T00:00").plusDays(1).atZone(TestSites.CHICAGO).toEpochSecond()
              * 1_000_000L,
          0,
          0);
      assertEquals(0.48, entry(bill, "standing_USD"), 1e-12, date);
    }
  }

  @Test
  void aBandMayPassMidnight() {
    Tariff tariff =
        new Tariff(
            "USD",
            List.of(
                new PriceBand("night", new MinuteSpan(1320, 360), 0.1),
                new PriceBand("day", new MinuteSpan(0, 1440), 0.3)),
            0,
            0);
    Bill bill = new Bill(tariff, TestSites.CHICAGO, local("2026-01-14T21:00"));
    bill.add(local("2026-01-15T07:00"), 10 * KWH, 0);
    assertEquals(8 * 0.1 + 2 * 0.3, entry(bill, "import_USD"), 1e-9);
  }

  @Test
  void negativeEnergyIsRefused() {
    Bill bill = bill("2026-01-14T00:00");
    assertThrows(IllegalArgumentException.class, () -> bill.add(local("2026-01-14T01:00"), -1, 0));
  }
}
