package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by the numbers that the test itself wrote into the file. */
class CsvWeatherTest {
  private static final long MINUTE = 60_000_000L;
  private static final double OFFSET_H = -6;

  /** 2026-06-20 00:00 at UTC−6. */
  private static final long START = micros("2026-06-20T06:00:00Z");

  @TempDir static Path folder = Path.of("");

  private static long micros(String instant) {
    return Instant.parse(instant).getEpochSecond() * 1_000_000L;
  }

  private static CsvWeather read(String text) throws IOException {
    Path file = folder.resolve("weather.csv");
    Files.writeString(file, text);
    return CsvWeather.read(file, DemoPlants.PLACE, OFFSET_H);
  }

  /** Two June days under a random sky, in W/m² for each step. */
  private static double[] randomGlobal(int step, Random random) {
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    double[] global = new double[2 * 1440 / step];
    for (int i = 0; i < global.length; i++) {
      sun.turnTo(START + (long) ((i + 0.5) * step * MINUTE));
      double clear = ClearSky.haurwitz(sun.cosZenith());
      global[i] = Math.round(10 * clear * (0.1 + 0.9 * random.nextDouble())) / 10.0;
    }
    return global;
  }

  private static String table(String header, double[] global, int step, String rest) {
    StringBuilder text = new StringBuilder(header).append('\n');
    LocalDateTime time = LocalDateTime.parse("2026-06-20T00:00");
    for (double value : global) {
      text.append(time).append(',').append(value).append(rest).append('\n');
      time = time.plusMinutes(step);
    }
    return text.toString();
  }

  /** Means of global, direct, diffuse and of what a horizontal plane gets, W/m². */
  private static double[] means(Weather weather, long from, long length) {
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    Sky sky = new Sky();
    double[] sums = new double[4];
    int parts = 360;
    for (int i = 0; i < parts; i++) {
      long at = from + (2L * i + 1) * length / (2L * parts);
      weather.sample(at, sky);
      sun.turnTo(at);
      sums[0] += sky.ghi() / parts;
      sums[1] += sky.dni() / parts;
      sums[2] += sky.dhi() / parts;
      sums[3] += (sky.dhi() + sky.dni() * Math.max(0, sun.cosZenith())) / parts;
    }
    return sums;
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 5, 10, 15, 30, 60})
  void everyIntervalKeepsItsGlobalEnergyAndItsPartsAddUpToIt(int step) throws IOException {
    double[] global = randomGlobal(step, new Random(step));
    CsvWeather weather = read(table("time_start,GHI_W/m2,temperature_C", global, step, ",20"));
    int bright = 0;
    for (int i = 0; i < global.length; i++) {
      double[] mean = means(weather, START + i * (step * MINUTE), step * MINUTE);
      assertEquals(global[i], mean[0], 1e-3 * global[i] + 0.02, "line " + i);
      if (global[i] > 50) {
        bright++;
        assertEquals(global[i], mean[3], 0.01 * global[i], "direct and diffuse of line " + i);
      }
    }
    assertTrue(bright > global.length / 3);
  }

  /** Judged by the Erbs correlation worked by hand for one hour. */
  @Test
  void whatWasNotMeasuredIsSplitByErbs() throws IOException {
    CsvWeather weather =
        read(
            """
            time_start,GHI_W/m2,temperature_C
            2026-06-20T12:00,400,20
            2026-06-20T13:00,400,20
            """);
    double[] mean = means(weather, START + 720 * MINUTE, 60 * MINUTE);
    // Mean sine of the sun's height from 12:00 to 13:00 at 41.98° N, 87.92° W on 20 June: 0.949
    // (declination 23.43°, hour angle 0.6° to 15.6° after the equation of time). Outside the
    // atmosphere 1361 (1 − 0.033 · 0.979) = 1317 W/m²; clearness 400/(1317 · 0.949) = 0.320.
    // Erbs: 0.9511 − 0.1604 · 0.320 + 4.388 · 0.1024 − 16.638 · 0.03277 + 12.336 · 0.01049 = 0.933.
    assertEquals(0.933, mean[2] / mean[0], 0.004);
  }

  @Test
  void measuredDirectAndDiffuseLightAreKeptAsTheyAre() throws IOException {
    CsvWeather weather =
        read(
            """
            # measured on the boat shed's roof
            DHI_W/m2, time_start, DNI_W/m2, GHI_W/m2, wind_m/s, temperature_C
            150, 2026-06-20T12:00, 420, 560, 3, 18
            90, 2026-06-20T12:15, 800, 870, 5, 22
            """);
    double[] first = means(weather, START + 720 * MINUTE, 15 * MINUTE);
    double[] second = means(weather, START + 735 * MINUTE, 15 * MINUTE);
    assertEquals(560, first[0], 0.01);
    assertEquals(420, first[1], 1e-6);
    assertEquals(150, first[2], 0.01);
    assertEquals(870, second[0], 0.01);
    assertEquals(800, second[1], 1e-6);
    assertEquals(90, second[2], 0.01);
    Sky sky = new Sky();
    weather.sample(START + 735 * MINUTE, sky); // half-way between the two middles
    assertEquals(20, sky.ambientC(), 1e-9);
    assertEquals(4, sky.windMPerS(), 1e-9);
  }

  /** One of the two alone: the other is what is left of the global. */
  @ParameterizedTest
  @CsvSource({"DNI_W/m2, 500, 1, 500", "DHI_W/m2, 200, 2, 200"})
  void oneOfDirectAndDiffuseGivesTheOther(String column, String value, int which, double expected)
      throws IOException {
    CsvWeather weather =
        read(
            """
            time_start,GHI_W/m2,temperature_C,COLUMN
            2026-06-20T12:00,700,20,VALUE
            2026-06-20T12:30,700,20,VALUE
            """
                .replace("COLUMN", column)
                .replace("VALUE", value));
    double[] mean = means(weather, START + 720 * MINUTE, 30 * MINUTE);
    assertEquals(expected, mean[which], 0.5);
    assertEquals(700, mean[3], 0.5);
  }

  @Test
  void anEndTimeIsOneStepLaterAndAnOffsetStandsForItself() throws IOException {
    String rows = "2026-06-20T12:%s,500,20\n2026-06-20T13:%s,600,20\n";
    CsvWeather starts = read("time_start,GHI_W/m2,temperature_C\n" + rows.replace("%s", "00"));
    CsvWeather ends = read("time_end,GHI_W/m2,temperature_C\n" + rows.replace("%s", "00"));
    CsvWeather universal =
        read("time_start,GHI_W/m2,temperature_C\n" + rows.replace("%s", "00-05:00"));
    CsvWeather withBlank =
        read("time_start,GHI_W/m2,temperature_C\n" + rows.replace("%s", "00").replace('T', ' '));
    assertEquals(START + 720 * MINUTE, starts.firstMicros());
    assertEquals(START + 840 * MINUTE, starts.endMicros());
    assertEquals(START + 660 * MINUTE, ends.firstMicros());
    assertEquals(START + 660 * MINUTE, universal.firstMicros());
    assertEquals(START + 720 * MINUTE, withBlank.firstMicros());
    assertEquals(60 * MINUTE, starts.intervalMicros());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          time,GHI_W/m2,temperature_C                 | 1 | time             | one of time_start
          time_start,GHI,temperature_C                | 1 | GHI              | one of time_start
          time_start,time_end,GHI_W/m2,temperature_C  | 1 | time_start,time_end,GHI_W/m2,temperature_C | either time_start or time_end
          time_start,temperature_C                    | 1 | time_start,temperature_C | GHI_W/m2
          time_start,GHI_W/m2,GHI_W/m2,temperature_C  | 1 | GHI_W/m2 a second time   | once
          """)
  void aHeaderThatSaysTooLittleIsRefused(String header, int line, String found, String allowed) {
    DataFileException e = assertThrows(DataFileException.class, () -> read(header + "\n1\n2\n"));
    assertEquals(line, e.line());
    assertEquals(found, e.found());
    assertTrue(e.allowed().contains(allowed), e.allowed());
  }

  /** The second line of values is good, the third is what the row gives. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          2026-06-20T15:00,400,20    | column 1 (time)          | 60 minutes after
          2026-06-20T13:00,400,20    | column 1 (time)          | 60 minutes after
          2026-06-20T14:00,40O,20    | column 2 (GHI_W/m2)      | between -10.0 and 1500.0
          2026-06-20T14:00,1501,20   | column 2 (GHI_W/m2)      | between -10.0 and 1500.0
          2026-06-20T14:00,NaN,20    | column 2 (GHI_W/m2)      | between -10.0 and 1500.0
          2026-06-20T14:00,,20       | column 2 (GHI_W/m2)      | between -10.0 and 1500.0
          2026-06-20T14:00,400,200   | column 3 (temperature_C) | between -70.0 and 70.0
          2026-06-20T14:00,400       | the number of columns    | 3, as in the header
          20.06.2026 14:00,400,20    | column 1 (time)          | 2026-06-21T13:00
          2026-06-20T14:00:30,400,20 | column 1 (time)          | to the minute
          """)
  void aBadLineIsNamedWithLineAndColumn(String bad, String field, String allowed) {
    String text =
        """
        # a comment
        time_start,GHI_W/m2,temperature_C
        2026-06-20T12:00,400,20
        2026-06-20T13:00,400,20
        """
            + bad
            + "\n";
    DataFileException e = assertThrows(DataFileException.class, () -> read(text));
    assertEquals(5, e.line());
    assertEquals(field, e.field());
    assertTrue(e.allowed().contains(allowed), e.allowed());
  }

  @Test
  void aStepThatDoesNotDivideTheHourIsRefused() {
    DataFileException e =
        assertThrows(
            DataFileException.class,
            () ->
                read(
                    """
                    time_start,GHI_W/m2,temperature_C
                    2026-06-20T12:00,400,20
                    2026-06-20T12:07,400,20
                    """));
    assertEquals(3, e.line());
    assertEquals("2026-06-20T12:07", e.found());
    assertTrue(e.allowed().contains("1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60"), e.allowed());
  }

  @Test
  void aTableOfOneLineAndAnEmptyFileAreRefused() {
    DataFileException one =
        assertThrows(
            DataFileException.class,
            () -> read("time_start,GHI_W/m2,temperature_C\n2026-06-20T12:00,400,20\n"));
    assertEquals("1", one.found());
    assertThrows(DataFileException.class, () -> read(""));
  }

  @Test
  void aNightsNegativeOffsetCountsAsDark() throws IOException {
    CsvWeather weather =
        read(
            """
            time_start,GHI_W/m2,temperature_C
            2026-06-20T00:00,-3.5,11
            2026-06-20T01:00,-2,11
            """);
    Sky sky = new Sky();
    weather.sample(START + 30 * MINUTE, sky);
    assertEquals(List.of(0.0, 0.0, 0.0), List.of(sky.ghi(), sky.dni(), sky.dhi()));
  }
}
