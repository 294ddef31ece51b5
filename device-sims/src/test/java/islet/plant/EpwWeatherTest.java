package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the file's own numbers and the yearly sum published with it. */
class EpwWeatherTest {
  private static final long MINUTE = 60_000_000L;

  /** 2025-01-01 00:00 at UTC−6. */
  private static final long NEW_YEAR =
      Instant.parse("2025-01-01T06:00:00Z").getEpochSecond() * 1_000_000L;

  @Test
  void theYearsGlobalIrradianceIsThePublishedSum() {
    assertEquals(1406.65, EpwWeather.read(DemoPlants.epw()).yearlyGhiKWhPerM2(), 0.005);
  }

  @Test
  void everyHourKeepsItsGlobalDirectAndDiffuseEnergy() throws IOException {
    EpwWeather weather = EpwWeather.read(DemoPlants.epw());
    List<String> lines = Files.readAllLines(DemoPlants.epw());
    Sky sky = new Sky();
    double year = 0;
    for (int h = 0; h < 8760; h++) {
      String[] fields = lines.get(8 + h).split(",", -1);
      double global = 0;
      double direct = 0;
      double diffuse = 0;
      for (int i = 0; i < 120; i++) {
        weather.sample(NEW_YEAR + h * 60L * MINUTE + i * MINUTE / 2 + MINUTE / 4, sky);
        global += sky.ghi() / 120;
        direct += sky.dni() / 120;
        diffuse += sky.dhi() / 120;
      }
      double fileGlobal = Double.parseDouble(fields[13]);
      double fileDirect = Double.parseDouble(fields[14]);
      double fileDiffuse = Double.parseDouble(fields[15]);
      assertEquals(fileGlobal, global, 1e-3 * fileGlobal + 0.01, "global of hour " + h);
      assertEquals(fileDiffuse, diffuse, 1e-3 * fileDiffuse + 0.01, "diffuse of hour " + h);
      if (fileGlobal > 50) {
        // Half a minute of sunrise is the resolution of the shape.
        assertEquals(fileDirect, direct, 0.02 * fileDirect + 0.01, "direct of hour " + h);
      }
      year += global;
    }
    assertEquals(1406.65, year / 1000, 0.02);
  }

  @Test
  void temperatureAtTheFullHourIsTheFilesAndTheLeapDayReadsTheDayBefore() {
    EpwWeather weather = EpwWeather.read(DemoPlants.epw());
    Sky sky = new Sky();
    // The file's hour 1 of 1 January says −12.2 °C, hour 2 −11.7 °C.
    weather.sample(NEW_YEAR + 90 * MINUTE, sky);
    assertEquals(-11.95, sky.ambientC(), 1e-9);
    long leap = Instant.parse("2028-02-29T18:30:00Z").getEpochSecond() * 1_000_000L;
    weather.sample(leap, sky);
    double ghi = sky.dhi() / Math.max(1e-9, sky.ghi());
    weather.sample(leap - 1440 * MINUTE, sky);
    assertEquals(sky.dhi() / Math.max(1e-9, sky.ghi()), ghi, 1e-12);
  }

  @Test
  void aBadNumberIsReportedWithFileLineAndField(@TempDir Path folder) throws IOException {
    List<String> lines = Files.readAllLines(DemoPlants.epw());
    String[] fields = lines.get(4000).split(",", -1);
    fields[13] = "n/a";
    lines.set(4000, String.join(",", fields));
    Path file = folder.resolve("broken.epw");
    Files.write(file, lines, StandardCharsets.UTF_8);
    DataFileException refused = assertThrows(DataFileException.class, () -> EpwWeather.read(file));
    assertEquals(4001, refused.line());
    assertEquals("n/a", refused.found());
    assertTrue(refused.field().contains("14"), refused.field());
    assertTrue(refused.file().endsWith("broken.epw"));
  }

  @Test
  void aShortYearAMissingFileAndAnotherFormatAreRefused(@TempDir Path folder) throws IOException {
    List<String> lines = Files.readAllLines(DemoPlants.epw());
    Path file = folder.resolve("short.epw");
    Files.write(file, lines.subList(0, 5000), StandardCharsets.UTF_8);
    assertThrows(DataFileException.class, () -> EpwWeather.read(file));
    assertThrows(DataFileException.class, () -> EpwWeather.read(folder.resolve("none.epw")));
    assertThrows(DataFileException.class, () -> EpwWeather.read(DemoPlants.houseLoad()));
  }
}
