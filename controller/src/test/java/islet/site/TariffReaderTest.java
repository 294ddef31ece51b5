package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.Tariff.DayClass;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Judged by what stands in the seasonal tariff's file, by the calendars of 2026 and 2028, and by
 * the rule that a message says where, what was found, what is allowed and what to do.
 */
class TariffReaderTest {
  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path LAKE = ROOT.resolve("config/tariffs/lake-seasonal.yaml");
  private static final ZoneId CHICAGO = ZoneId.of("America/Chicago");

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  private static TariffClock at(String local) {
    TariffClock clock = new TariffClock(TariffReader.read(LAKE), CHICAGO);
    clock.turnTo(micros(local));
    return clock;
  }

  private static long micros(String local) {
    return LocalDateTime.parse(local).atZone(CHICAGO).toEpochSecond() * 1_000_000L;
  }

  /** 2026-07-04 is a Saturday, 2026-11-26 the fourth Thursday, 2026-05-25 the last Monday. */
  @ParameterizedTest
  @CsvSource({
    "2026-06-01T14:00, summer.peak, 0.41, 0.15",
    "2026-05-29T14:00, winter.day, 0.19, 0.08",
    "2026-09-30T18:59, summer.peak, 0.41, 0.15",
    "2026-10-01T18:59, winter.peak, 0.33, 0.12",
    "2026-06-06T14:00, summer.day, 0.18, 0.08",
    "2026-07-04T14:00, summer.day, 0.18, 0.08",
    "2026-11-26T17:00, winter.day, 0.17, 0.08",
    "2026-11-19T17:00, winter.peak, 0.33, 0.12",
    "2026-05-25T17:00, winter.day, 0.17, 0.08",
    "2026-12-31T23:59, winter.night, 0.10, 0.04",
    "2027-01-01T07:59, winter.night, 0.10, 0.04",
    "2027-01-01T08:00, winter.day, 0.17, 0.08",
    "2028-02-29T16:00, winter.peak, 0.33, 0.12"
  })
  void findsTheBandOfAnInstant(String local, String band, double imported, double exported) {
    TariffClock clock = at(local);
    assertEquals(band, clock.lines().get(clock.line()).id());
    assertEquals(imported, clock.importPerKWh());
    assertEquals(exported, clock.exportPerKWh());
  }

  @Test
  void whatHoldsNeverHoldsPastAMidnightOrAChangeOfTheClock() {
    assertEquals(micros("2026-06-02T00:00"), at("2026-06-01T22:00").untilMicros());
    assertEquals(micros("2026-06-01T06:00"), at("2026-06-01T00:00").untilMicros());
    assertEquals(micros("2026-03-08T03:00"), at("2026-03-08T01:00").untilMicros());
  }

  @ParameterizedTest
  @CsvSource({
    "2026-07-03, 2026-07-03, HOLIDAY",
    "2026-07-03, 2027-07-03, WEEKEND",
    "25 December, 2026-12-25, HOLIDAY",
    "29 February, 2028-02-29, HOLIDAY",
    "first Monday of September, 2026-09-07, HOLIDAY",
    "first Monday of September, 2026-09-14, WEEKDAY",
    "last Monday of May, 2027-05-31, HOLIDAY"
  })
  void aHolidayFallsOnItsDates(String holiday, String date, DayClass expected) {
    Tariff.Band flat = new Tariff.Band("all", new Site.MinuteSpan(0, 1440), 0.2, 0);
    Tariff plain = Tariff.ofBands("USD", List.of(flat), 0);
    Tariff tariff =
        new Tariff(
            "USD",
            15,
            0,
            plain.seasons(),
            List.of(Holiday.parse(holiday).orElseThrow()),
            List.of());
    assertEquals(expected, new TariffClock(tariff, CHICAGO).dayClass(LocalDate.parse(date)));
  }

  /** Each row: what is changed in the seasonal tariff, into what, and the problem. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          to: 30 September | to: 29 September | seasons: found no season on 30 September; allowed is seasons that together hold every day of the year. Let one season begin the day after the other ends.
          to: 30 September | to: 2 October | seasons.winter.from: found a second season on 1 October; allowed is seasons that do not overlap. A season ends the day before the next one begins; both its days are included.
          to: 31 May | to: 31 Mai | seasons.winter.to: found "31 Mai"; allowed is a day of the year such as 1 June. The day itself is included.
          from: 1 June | from: 31 June | seasons.summer.from: found "31 June"; allowed is a day of the year such as 1 June. The day itself is included.
          name: winter | name: summer | seasons.summer.name: found "summer"; allowed is a name that no other season has. Rename one.
          between: "14:00-19:00" | between: "14:00-23:00" | seasons.summer.days.1.bands.night.between: found "22:00-06:00"; allowed is bands that do not overlap. Else two prices would hold.
          name: day, import: 0.21 | name: day, between: "06:00-13:00", import: 0.21 | seasons.summer.days.1.bands.day.between: found no price from 13:00 to 14:00; allowed is bands that together hold the whole day. Leave out the times of the last band: it then holds all the rest.
          between: "22:00-08:00", import: 0.12 | between: "00:00-24:00", import: 0.12 | seasons.summer.days.2.bands.night.between: found "00:00-24:00"; allowed is times of day, in every band but the last.
          on: [weekend, holiday] | on: [weekend] | seasons.summer.days: found no bands for a holiday; allowed is bands for weekday, weekend and, where holidays are listed, holiday. Add the class to one of the lists under "on".
          on: [weekend, holiday] | on: [weekend, weekday, holiday] | seasons.summer.days.2.on: found weekday a second time; allowed is each class of days once in a season. Else two prices would hold.
          on: [weekend, holiday] | on: [weekend, holidays, holiday] | seasons.summer.days.2.on: found "holidays"; allowed is a list out of weekday, weekend, holiday. Did you mean "holiday"?
          - 25 December | - 25 Dec | holidays: found "25 Dec"; allowed is 2026-07-03, 25 December, or fourth Thursday of November (first to fourth, or last). Write months and days in full.
          - 25 December | - 2026-02-29 | holidays: found "2026-02-29"; allowed is 2026-07-03, 25 December, or fourth Thursday of November (first to fourth, or last). Write months and days in full.
          - 25 December | - 4 July | holidays: found "4 July" twice; allowed is each holiday once.
          interval: 15 min | interval: 20 min | interval: found "20 min"; allowed is one of 15 min, 30 min, 1 h. Did you mean "30 min"?
          exportCredit: 0.08 USD/kWh | `` | exportCredit: found nothing; allowed is 0 USD/kWh to 10 USD/kWh.
          price: 1.50 USD/kW | price: 1.50 USD/kWh | demand.any-time.price: found "1.50 USD/kWh"; allowed is 0 USD/kW to 1000 USD/kW.
          season: summer, | season: sumer, | demand.summer-peak.season: found "sumer"; allowed is one of summer, winter. Did you mean "summer"?
          season: summer, band: peak | season: summer, band: top | demand.summer-peak.band: found "top"; allowed is one of peak, night, day.
          between: "14:00-19:00" | between: "14:10-19:00" | demand.summer-peak.band: found "peak"; allowed is a band whose times are whole intervals of 15 min. Else an interval would lie half in the band and half outside.
          """)
  void tellsWhatIsWrong(String from, String to, String sentence) throws IOException {
    String text = Files.readString(LAKE);
    int place = text.indexOf(from);
    assertTrue(place >= 0, from);
    Path file = folder.resolve("tariff.yaml");
    Files.writeString(file, text.substring(0, place) + to + text.substring(place + from.length()));

    InputException e = assertThrows(InputException.class, () -> TariffReader.read(file));
    assertEquals(1, e.problems().size(), e.getMessage());
    Problem problem = e.problems().get(0);
    assertEquals(
        InputFile.shown(file) + ":" + problem.line() + ": " + sentence, problem.toString());
    assertTrue(problem.line() > 0);
  }

  @Test
  void aSeasonThatEndsOnTheTwentyEighthOfFebruaryForgetsTheLeapDay() throws IOException {
    Path file = folder.resolve("tariff.yaml");
    Files.writeString(
        file,
        """
        currency: EUR
        standing: 0.10 EUR/day
        exportCredit: 0 EUR/kWh
        seasons:
          - { name: cold, from: 1 November, to: 28 February, bands: [{ name: all, import: 0.3 EUR/kWh }] }
          - { name: warm, from: 1 March, to: 31 October, bands: [{ name: all, import: 0.2 EUR/kWh }] }
        """);
    InputException e = assertThrows(InputException.class, () -> TariffReader.read(file));
    assertTrue(String.valueOf(e.getMessage()).contains("no season on 29 February"), e.getMessage());

    Files.writeString(file, Files.readString(file).replace("28 February", "29 February"));
    TariffClock clock = new TariffClock(TariffReader.read(file), CHICAGO);
    clock.turnTo(micros("2028-02-29T12:00"));
    assertEquals(0.3, clock.importPerKWh());
    clock.turnTo(micros("2026-02-28T12:00"));
    assertEquals(0.3, clock.importPerKWh());
    clock.turnTo(micros("2026-03-01T00:00"));
    assertEquals(0.2, clock.importPerKWh());
  }

  @Test
  void aSiteMayNameATariffsFileAndAScenarioMayChooseIt() {
    Path demo = ROOT.resolve("config/sites/ferry-landing.yaml");
    Site site =
        SiteReader.read(
            demo, List.of(new Setting("tariff", "../tariffs/lake-seasonal.yaml", "s.yaml", 3)));
    assertEquals(2, site.tariff().seasons().size());
    assertEquals(15, site.tariff().intervalMinutes());

    InputException e =
        assertThrows(
            InputException.class,
            () ->
                SiteReader.read(
                    demo, List.of(new Setting("tariff", "../tariffs/none.yaml", "s.yaml", 3))));
    assertTrue(
        String.valueOf(e.getMessage()).startsWith("s.yaml:3: tariff: found"), e.getMessage());
  }
}
