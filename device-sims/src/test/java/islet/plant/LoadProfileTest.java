package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the load file's published sum and peak, and by the clock. */
class LoadProfileTest {
  private static final String ALL = "Electricity:Facility [kW](Hourly)";
  private static final long HOUR = 3_600_000_000L;

  private static long at(String instant) {
    return Instant.parse(instant).getEpochSecond() * 1_000_000L;
  }

  @Test
  void theHousesYearIsThePublishedSumAndPeak() {
    HourlyLoad house = HourlyLoad.read(DemoPlants.houseLoad(), ALL, 1, -6);
    long t = at("2025-01-01T06:00:00Z");
    double sum = 0;
    double peak = 0;
    for (int h = 0; h < 8760; h++) {
      sum += house.powerW(t) / 1000;
      peak = Math.max(peak, house.powerW(t));
      t = house.nextChangeMicros(t);
    }
    assertEquals(at("2026-01-01T06:00:00Z"), t);
    assertEquals(12_975, sum, 0.5);
    assertEquals(4377, peak, 0.5);
  }

  @Test
  void theLineThatEndsAtMidnightServesTheLastHourOfTheDay() {
    HourlyLoad house = HourlyLoad.read(DemoPlants.houseLoad(), ALL, 0.5, -6);
    assertEquals(0.5 * 1509.48154264, house.powerW(at("2027-01-01T05:30:00Z")), 1e-6);
    assertEquals(0.5 * 1072.03103324, house.powerW(at("2027-01-01T06:00:00Z")), 1e-6);
  }

  @Test
  void aMissingColumnAndABadTimeAreRefusedByName(@TempDir Path folder) throws IOException {
    DataFileException column =
        assertThrows(
            DataFileException.class,
            () -> HourlyLoad.read(DemoPlants.houseLoad(), "Heat pump", 1, -6));
    assertTrue(column.allowed().contains("Heat pump"));
    List<String> lines = Files.readAllLines(DemoPlants.houseLoad());
    lines.remove(100);
    Path file = folder.resolve("gap.csv");
    Files.write(file, lines, StandardCharsets.UTF_8);
    DataFileException gap =
        assertThrows(DataFileException.class, () -> HourlyLoad.read(file, ALL, 1, -6));
    assertEquals(101, gap.line());
  }

  @Test
  void everyProfileIsConstantUntilItsNextChange() {
    List<LoadProfile> profiles =
        List.of(
            new ConstantLoad(5),
            new RefrigeratorLoad(150, 11, 23, 7),
            new DailyLoad(
                60,
                ZoneOffset.ofHours(-6),
                List.of(new DailyLoad.Span(6.5, 8), new DailyLoad.Span(17, 24))),
            new DailyLoad(60, ZoneId.of("America/Chicago"), List.of(new DailyLoad.Span(0, 2.5))),
            HourlyLoad.read(DemoPlants.houseLoad(), ALL, 1, -6));
    for (LoadProfile profile : profiles) {
      long t = at("2026-03-07T00:00:00Z");
      for (int i = 0; i < 200 && t < at("2026-03-12T00:00:00Z"); i++) {
        long next = profile.nextChangeMicros(t);
        assertTrue(next > t);
        if (next == Long.MAX_VALUE) {
          break;
        }
        assertEquals(profile.powerW(t), profile.powerW(next - 1), 0.0);
        assertEquals(profile.powerW(t), profile.powerW(t + (next - t) / 2), 0.0);
        t = next;
      }
    }
  }

  /** On 8 March 2026 the clocks of US Central go from 2:00 to 3:00 (Energy Policy Act of 2005). */
  @Test
  void aTimerByTheClockOnTheWallMovesWithDaylightSaving() {
    DailyLoad lights =
        new DailyLoad(120, ZoneId.of("America/Chicago"), List.of(new DailyLoad.Span(17, 23)));
    assertEquals(0, lights.powerW(at("2026-03-07T22:59:59Z")), 0.0);
    assertEquals(120, lights.powerW(at("2026-03-07T23:00:00Z")), 0.0);
    assertEquals(120, lights.powerW(at("2026-03-08T22:00:00Z")), 0.0);
    assertEquals(at("2026-03-08T08:00:00Z"), lights.nextChangeMicros(at("2026-03-08T07:00:00Z")));
  }

  @Test
  void aRefrigeratorRunsItsShareOfTheDay() {
    RefrigeratorLoad load = new RefrigeratorLoad(180, 12, 24, 5);
    double wattHours = 0;
    long t = 0;
    while (t < 24 * HOUR) {
      long next = Math.min(24 * HOUR, load.nextChangeMicros(t));
      wattHours += load.powerW(t) * (next - t) / HOUR;
      t = next;
    }
    assertEquals(180 * 24 / 3.0, wattHours, 1e-6);
  }

  @Test
  void aSpanOverMidnightIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> new DailyLoad.Span(22, 6));
  }
}
