package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.site.InputException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What a scenario and a site say of sun and array, as it comes out of a run. Judged by arithmetic
 * on what the test itself wrote, and by the books, which throw in every run.
 */
class SunAndArrayRunTest {
  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final long MINUTE = 60_000_000L;

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  /**
   * A June morning at the beacon by a logger's table, 9:00 to 11:00, civil time is an hour later.
   */
  private Scenario morning(String weather, String settings, int seed) throws IOException {
    StringBuilder table = new StringBuilder("time_end,GHI_W/m2,DNI_W/m2,DHI_W/m2,temperature_C\n");
    for (int m = 495; m <= 720; m += 15) {
      table.append(
          String.format(Locale.ROOT, "2026-06-20T%02d:%02d,600,450,250,20%n", m / 60, m % 60));
    }
    Files.writeString(folder.resolve("table.csv"), table);
    String text =
        "title: morning\nsite: "
            + CONFIG.resolve("sites/breakwater-beacon.yaml")
            + "\nsettings: { "
            + settings
            + " }\nstart: 2026-06-20T10:00\nduration: PT2H\nseed: "
            + seed
            + "\nweather: { "
            + weather
            + " }\nbattery: { soc: 0.5 }\ntraceStep: PT1M\n";
    return ScenarioReader.read(
        Files.writeString(folder.resolve("morning.yaml"), text), OptionalLong.empty());
  }

  private static Trace trace(Scenario scenario) {
    return new Rehearsal(scenario).run(micros -> {}).record("test").trace();
  }

  /** Mean over a span of minutes from the start, by the rows of the trace. */
  private static double mean(Trace trace, Signal signal, long start, int from, int to) {
    double sum = 0;
    int rows = 0;
    for (int row = 0; row < trace.rows(); row++) {
      long minute = (trace.micros(row) - start) / MINUTE;
      if (minute >= from && minute < to) {
        sum += trace.value(row, signal);
        rows++;
      }
    }
    assertTrue(rows > 0);
    return sum / rows;
  }

  @Test
  void aTrackerTakesAllOfTheTablesLightAndAPwmRegulatorTheArraysCurrentAtTheBus()
      throws IOException {
    Scenario tracking = morning("csv: table.csv", "pv.series: 1", 7);
    Scenario tied = morning("csv: table.csv", "regulator.kind: pwm", 7);
    Trace mppt = trace(tracking);
    Trace pwm = trace(tied);
    long start = tracking.startMicros();
    double available = mean(mppt, Signal.PV_AVAILABLE, start, 30, 60);
    assertEquals(available, mean(pwm, Signal.PV_AVAILABLE, start, 30, 60), 1e-6);
    // Two modules of 200 W in some 500 W/m² at 55° tilt: about 200 W.
    assertTrue(available > 130 && available < 260, available + " W");
    assertEquals(available, mean(mppt, Signal.PV_POWER, start, 30, 60), 0.01 * available);
    double taken = mean(pwm, Signal.PV_POWER, start, 30, 60);
    assertTrue(taken > 0.45 * available && taken < 0.65 * available, taken + " of " + available);
  }

  @Test
  void shadeOfTheSiteFileTakesPowerAtItsHoursInLocalStandardTime() throws IOException {
    String plain = "pv.series: 1";
    // 10:00 to 10:30 local standard time is 11:00 to 11:30 on the clock: an hour after the start.
    String shade = "pv.shade: [{ strings: 1, modules: 1, light: 0, between: [\"10:00-10:30\"] }]";
    Scenario open = morning("csv: table.csv", plain, 7);
    Trace clear = trace(open);
    Trace dim = trace(morning("csv: table.csv", shade, 7));
    long start = open.startMicros();
    assertEquals(
        mean(clear, Signal.PV_AVAILABLE, start, 0, 58),
        mean(dim, Signal.PV_AVAILABLE, start, 0, 58),
        0.0);
    // One of the two strings is dark.
    double one = mean(clear, Signal.PV_AVAILABLE, start, 62, 88);
    assertEquals(0.5 * one, mean(dim, Signal.PV_AVAILABLE, start, 62, 88), 1e-3 * one);
    assertEquals(
        mean(clear, Signal.PV_AVAILABLE, start, 92, 118),
        mean(dim, Signal.PV_AVAILABLE, start, 92, 118),
        0.0);
  }

  @Test
  @LongTest
  void cloudsComeByTheSeedAndLeaveTheIntervalsTheirEnergy() throws IOException {
    String passing = "csv: table.csv, clouds: { passing: 3 min }";
    Scenario still = morning("csv: table.csv", "pv.series: 1", 7);
    long start = still.startMicros();
    Trace calm = trace(still);
    Trace seven = trace(morning(passing, "pv.series: 1", 7));
    Trace again = trace(morning(passing, "pv.series: 1", 7));
    Trace eight = trace(morning(passing, "pv.series: 1", 8));
    int other = 0;
    for (int row = 0; row < seven.rows(); row++) {
      double power = seven.value(row, Signal.PV_AVAILABLE);
      assertEquals(power, again.value(row, Signal.PV_AVAILABLE), 0.0);
      other += Math.abs(power - eight.value(row, Signal.PV_AVAILABLE)) > 20 ? 1 : 0;
    }
    assertTrue(other > 30, other + " rows differ");
    // Cell temperature and the curve at low light make the power a little less than proportional.
    double mean = mean(calm, Signal.PV_AVAILABLE, start, 0, 120);
    assertEquals(mean, mean(seven, Signal.PV_AVAILABLE, start, 0, 120), 0.08 * mean);
  }

  @Test
  void aTableThatDoesNotCoverTheRunIsRefusedWithBothSpans() throws IOException {
    Scenario late =
        ScenarioReader.read(
            Files.writeString(
                folder.resolve("late.yaml"),
                Files.readString(morning("csv: table.csv", "pv.series: 1", 7).file())
                    .replace("PT2H", "PT4H")),
            OptionalLong.empty());
    InputException e = assertThrows(InputException.class, () -> trace(late));
    String said = String.valueOf(e.getMessage());
    assertTrue(
        said.contains("found lines from 2026-06-20T08:00:00 to 2026-06-20T12:00:00 local"), said);
    assertTrue(
        said.contains("covers the run, from 2026-06-20T09:00:00 to 2026-06-20T13:00:00."), said);
  }

  @Test
  void cloudsOverATableThatKnowsItsOwnAreRefused() throws IOException {
    Scenario scenario = morning("csv: table.csv, clouds: { passing: 3 min }", "pv.series: 1", 7);
    StringBuilder table = new StringBuilder("time_start,GHI_W/m2,temperature_C\n");
    for (int m = 480; m < 720; m++) {
      table.append(String.format(Locale.ROOT, "2026-06-20T%02d:%02d,600,20%n", m / 60, m % 60));
    }
    Files.writeString(folder.resolve("table.csv"), table);
    InputException e = assertThrows(InputException.class, () -> trace(scenario));
    String said = String.valueOf(e.getMessage());
    assertTrue(
        said.contains("weather.clouds: found clouds over a file with a line every 1 min"), said);
  }
}
