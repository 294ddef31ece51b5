package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import islet.bench.RunResult.Entry;
import islet.site.Holiday;
import islet.site.Site.MinuteSpan;
import islet.site.Tariff;
import islet.site.Tariff.Band;
import islet.site.TariffReader;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Judged by arithmetic on the clock of the wall in America/Chicago: in 2026 clocks go forward on 8
 * March at 02:00 and back on 1 November at 02:00 (time zone database).
 */
class BillTest {

  private static final double KWH = 3.6e6;
  private static final long STEP_MICROS = 13 * 60_000_000L;

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
        Tariff.ofBands(
            "USD",
            List.of(
                new Band("night", new MinuteSpan(1320, 360), 0.1, 0),
                new Band("day", new MinuteSpan(0, 1440), 0.3, 0)),
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

  private static final Band ALL = new Band("all", new MinuteSpan(0, 1440), 0.2, 0.05);

  private static Tariff seasonal(List<Tariff.Season> seasons, List<Tariff.DemandCharge> demand) {
    return new Tariff(
        "USD", 15, 0.48, seasons, List.of(new Holiday.Once(LocalDate.parse("2026-11-26"))), demand);
  }

  private static Tariff.Season season(String name, String from, String to, Band... bands) {
    return new Tariff.Season(
        name,
        Holiday.yearDay(from).orElseThrow(),
        Holiday.yearDay(to).orElseThrow(),
        List.of(new Tariff.DayBands(List.of(Tariff.DayClass.values()), List.of(bands))));
  }

  private static Band band(
      String name, int fromHour, int toHour, double imported, double exported) {
    return new Band(name, new MinuteSpan(60 * fromHour, 60 * toHour), imported, exported);
  }

  /** 1 kW from one local time to another, in steps of a quarter of an hour. */
  private static Bill steady(Tariff tariff, String from, String to) {
    Bill bill = new Bill(tariff, TestSites.CHICAGO, local(from));
    for (long at = local(from); at < local(to); at += 900_000_000L) {
      bill.add(at + 900_000_000L, KWH / 4, 0);
    }
    return bill;
  }

  /** June with a season that begins on its 15th: 14 days at 0.20, 16 days at 0.30. */
  @Test
  void aMonthAcrossTwoSeasonsIsBilledByTheDaysOfEach() {
    Tariff tariff =
        seasonal(
            List.of(
                season("spring", "15 September", "14 June", ALL),
                season("summer", "15 June", "14 September", band("all", 0, 24, 0.3, 0.05))),
            List.of());
    Bill bill = steady(tariff, "2026-06-01T00:00", "2026-07-01T00:00");
    assertEquals(14 * 24, entry(bill, "band_spring.all_import_kWh"), 1e-9);
    assertEquals(14 * 24 * 0.2, entry(bill, "band_spring.all_import_USD"), 1e-9);
    assertEquals(16 * 24 * 0.3, entry(bill, "band_summer.all_import_USD"), 1e-9);
    assertEquals(14 * 24 * 0.2 + 16 * 24 * 0.3 + 30 * 0.48, entry(bill, "total_USD"), 1e-9);
  }

  /** Two days on each side of New Year: 48 kWh and two days' standing charge in each month. */
  @Test
  void theYearsEndIsAMonthsEndAndTheLeapDayIsADay() {
    Bill bill = steady(TestSites.TARIFF, "2027-12-30T00:00", "2028-01-03T00:00");
    assertEquals(48, entry(bill, "month_2027-12_import_kWh"), 1e-9);
    assertEquals(48, entry(bill, "month_2028-01_import_kWh"), 1e-9);
    double day = 6 * 0.1 + 13 * 0.2 + 5 * 0.4 + 0.48;
    assertEquals(2 * day, entry(bill, "month_2027-12_total_USD"), 1e-9);
    assertEquals(2 * day, entry(bill, "month_2028-01_total_USD"), 1e-9);

    Bill february = steady(TestSites.TARIFF, "2028-02-01T00:00", "2028-03-01T00:00");
    assertEquals(29 * day, entry(february, "total_USD"), 1e-9);
  }

  /** 2026-11-26 is a Thursday; with it a holiday, its peak costs what a weekend's does. */
  @Test
  void aHolidayOnAWeekdayHasTheHolidaysPrices() {
    Band rest = new Band("rest", new MinuteSpan(0, 1440), 0.1, 0);
    Tariff tariff =
        seasonal(
            List.of(
                new Tariff.Season(
                    "",
                    new Tariff.YearDay(1, 1),
                    new Tariff.YearDay(12, 31),
                    List.of(
                        new Tariff.DayBands(
                            List.of(Tariff.DayClass.WEEKDAY),
                            List.of(band("peak", 16, 21, 0.5, 0), rest)),
                        new Tariff.DayBands(
                            List.of(Tariff.DayClass.WEEKEND, Tariff.DayClass.HOLIDAY),
                            List.of(rest))))),
            List.of());
    // Wednesday to Sunday: peaks on Wednesday and Friday only.
    Bill bill = steady(tariff, "2026-11-25T00:00", "2026-11-30T00:00");
    assertEquals(10, entry(bill, "band_peak_import_kWh"), 1e-9);
    assertEquals(10 * 0.5, entry(bill, "band_peak_import_USD"), 1e-9);
    assertEquals(5 * 24 - 10, entry(bill, "band_rest_import_kWh"), 1e-9);
  }

  /** 4 kW for a quarter of an hour, half of it in each of two intervals: neither means 4 kW. */
  @Test
  void aPeakAcrossAnIntervalsEndCountsHalfInEach() {
    Bill bill = bill("2026-01-14T12:00");
    bill.add(local("2026-01-14T12:07") + 30_000_000L, 0, 0);
    bill.add(local("2026-01-14T12:22") + 30_000_000L, KWH, 0);
    bill.add(local("2026-01-14T13:00"), 0, 0);
    assertEquals(2, entry(bill, "peak_kW"), 1e-9);
    assertEquals(0, entry(bill, "peak_at_s"));
  }

  @Test
  void anIntervalThatTheRunHoldsInPartCountsTheRestAsWithoutImport() {
    Bill bill = bill("2026-01-14T12:14");
    // 60 kW for the last minute of the interval mean 4 kW in its quarter of an hour.
    bill.add(local("2026-01-14T12:15"), KWH, 0);
    assertEquals(4, entry(bill, "peak_kW"), 1e-9);
    // A minute at 75 kW means 5 kW, though the interval is not over yet.
    bill.add(local("2026-01-14T12:16"), 1.25 * KWH, 0);
    assertEquals(5, entry(bill, "peak_kW"), 1e-9);
    assertEquals(60, entry(bill, "peak_at_s"));
  }

  @Test
  void aDemandChargeLooksAtItsOwnBandAndSeasonAndAtEveryMonthAnew() {
    Tariff.DemandCharge any = new Tariff.DemandCharge("any time", 1, "", "");
    Tariff.DemandCharge peak = new Tariff.DemandCharge("peak", 10, "summer", "peak");
    Band rest = new Band("rest", new MinuteSpan(0, 1440), 0, 0);
    Tariff tariff =
        seasonal(
            List.of(
                season("winter", "1 October", "31 May", band("peak", 16, 21, 0, 0), rest),
                season("summer", "1 June", "30 September", band("peak", 16, 21, 0, 0), rest)),
            List.of(any, peak));
    Bill bill = new Bill(tariff, TestSites.CHICAGO, local("2026-05-31T16:00"));
    bill.add(local("2026-05-31T16:15"), KWH, 0); // winter's peak: 4 kW in May
    bill.add(local("2026-06-01T15:45"), 0, 0);
    bill.add(local("2026-06-01T16:00"), 0.75 * KWH, 0); // 3 kW in June, before the peak
    bill.add(local("2026-06-01T16:15"), 0.5 * KWH, 0); // 2 kW in June's peak
    bill.add(local("2026-06-01T21:00"), 0, 0);
    assertEquals(4 + 3, entry(bill, "demand_any-time_USD"), 1e-9);
    assertEquals(2 * 10, entry(bill, "demand_peak_USD"), 1e-9);
    assertEquals(2, entry(bill, "demand_peak_kW"), 1e-9);
    assertEquals(24 * 3600, entry(bill, "demand_peak_at_s"));
    assertEquals(4 + 3 + 20, entry(bill, "demand_USD"), 1e-9);
    assertEquals(3, entry(bill, "month_2026-06_peak_kW"), 1e-9);
    double june = 3 + 20 + 0.48 * 21 / 24;
    assertEquals(june, entry(bill, "month_2026-06_total_USD"), 1e-9);
  }

  /** A minute now and then, with a demand charge that is only owed for a part of the day. */
  @Test
  void whatIsOwedIsKnownMeanwhileAndAskingChangesNothing() {
    Band rest = new Band("rest", new MinuteSpan(0, 1440), 0.2, 0.05);
    Tariff tariff =
        seasonal(
            List.of(
                season("all year", "1 January", "31 December", band("peak", 16, 21, 0.4, 0), rest)),
            List.of(new Tariff.DemandCharge("peak", 10, "", "peak")));
    long start = local("2026-05-31T15:50");
    Bill asked = new Bill(tariff, TestSites.CHICAGO, start);
    Bill unasked = new Bill(tariff, TestSites.CHICAGO, start);
    for (long step = 1; step <= 40; step++) {
      long until = start + step * STEP_MICROS;
      asked.add(until, step % 7 * KWH, step % 3 * KWH);
      unasked.add(until, step % 7 * KWH, step % 3 * KWH);
      double total = asked.total();
      // What the bill says to whoever ends it here.
      Bill ended = new Bill(tariff, TestSites.CHICAGO, start);
      for (long again = 1; again <= step; again++) {
        ended.add(start + again * STEP_MICROS, again % 7 * KWH, again % 3 * KWH);
      }
      assertEquals(entry(ended, "total_USD"), total, 1e-12, "after " + step + " steps");
    }
    assertEquals(unasked.entries(), asked.entries());
  }

  /** 2 kWh at 0.15 in the peak, 3 kWh at 0.04 after it. */
  @Test
  void exportIsCreditedByTheBand() {
    Tariff tariff =
        seasonal(
            List.of(
                season(
                    "",
                    "1 January",
                    "31 December",
                    band("peak", 14, 19, 0.4, 0.15),
                    new Band("rest", new MinuteSpan(0, 1440), 0.2, 0.04))),
            List.of());
    Bill bill = new Bill(tariff, TestSites.CHICAGO, local("2026-06-15T17:00"));
    bill.add(local("2026-06-15T19:00"), 0, 2 * KWH);
    bill.add(local("2026-06-15T20:00"), 0, 3 * KWH);
    assertEquals(0.3, entry(bill, "band_peak_export_credit_USD"), 1e-9);
    assertEquals(0.3 + 0.12, entry(bill, "export_credit_USD"), 1e-9);
  }

  /** A year of uneven steps: each band adds its own, and together they are what was imported. */
  @Test
  void theBandsAddUpToAllThatWasImported() {
    Tariff tariff =
        TariffReader.read(
            Path.of(System.getProperty("islet.root"), "config/tariffs/lake-seasonal.yaml"));
    Bill bill = new Bill(tariff, TestSites.CHICAGO, local("2026-01-01T00:00"));
    double imported = 0;
    long at = local("2026-01-01T00:00");
    for (int i = 0; at < local("2027-01-01T00:00"); i++) {
      at += 997_000_000L + i % 7 * 100_000_000L;
      double joules = 1e5 * (1 + i % 11);
      imported += joules;
      bill.add(at, joules, 0);
    }
    double bands = 0;
    double months = 0;
    for (Entry entry : bill.entries()) {
      bands += entry.name().matches("band_.*_import_kWh") ? entry.value() : 0;
      months += entry.name().matches("month_.*_import_kWh") ? entry.value() : 0;
    }
    assertEquals(imported / KWH, bands, 1e-9);
    assertEquals(imported / KWH, months, 1e-9);
  }
}
