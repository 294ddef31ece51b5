package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Judged by a second way to the same yearly sum: hourly, with Spencer's Fourier series (Search 2,
 * 1971) for declination and equation of time, and the textbook incidence on a plane facing south.
 */
class YearlyIrradianceTest {
  private static final double LATITUDE = StrictMath.toRadians(41.98);
  private static final double TILT = StrictMath.toRadians(35);

  @Test
  void theYearInTheArraysPlaneEqualsAnHourlySumByAnotherSunFormula() throws IOException {
    List<String> lines = Files.readAllLines(DemoPlants.epw());
    double other = 0;
    for (int h = 0; h < 8760; h++) {
      String[] f = lines.get(8 + h).split(",", -1);
      other += Double.parseDouble(f[14]) * incidenceWhileUp(h);
      other += Double.parseDouble(f[15]) * 0.5 * (1 + StrictMath.cos(TILT));
      other += Double.parseDouble(f[13]) * 0.2 * 0.5 * (1 - StrictMath.cos(TILT));
    }
    PvArray array =
        new PvArray(DemoPlants.spec(0.5).pv(), DemoPlants.PLACE, EpwWeather.read(DemoPlants.epw()));
    long start = Instant.parse("2025-01-01T06:00:00Z").getEpochSecond() * 1_000_000L;
    double ours = 0;
    for (int m = 0; m < 8760 * 12; m++) {
      array.turnTo(start + m * 300_000_000L + 150_000_000L);
      ours += array.irradiance() / 12;
    }
    assertEquals(other / 1000, ours / 1000, 0.005 * other / 1000);
  }

  /** Mean cosine of incidence over the part of an hour in which the sun is up. */
  private static double incidenceWhileUp(int hourOfYear) {
    double sum = 0;
    int up = 0;
    int day = hourOfYear / 24;
    for (int k = 0; k < 12; k++) {
      double hour = hourOfYear % 24 + (k + 0.5) / 12;
      double g = 2 * StrictMath.PI / 365 * (day + (hour - 12) / 24);
      double minutes =
          229.18
              * (0.000075
                  + 0.001868 * StrictMath.cos(g)
                  - 0.032077 * StrictMath.sin(g)
                  - 0.014615 * StrictMath.cos(2 * g)
                  - 0.040849 * StrictMath.sin(2 * g));
      double declination =
          0.006918
              - 0.399912 * StrictMath.cos(g)
              + 0.070257 * StrictMath.sin(g)
              - 0.006758 * StrictMath.cos(2 * g)
              + 0.000907 * StrictMath.sin(2 * g)
              - 0.002697 * StrictMath.cos(3 * g)
              + 0.00148 * StrictMath.sin(3 * g);
      double solarMinutes = hour * 60 + minutes - 4 * 87.92 + 360;
      double hourAngle = StrictMath.toRadians(solarMinutes / 4 - 180);
      double product = StrictMath.cos(declination) * StrictMath.cos(hourAngle);
      double height =
          StrictMath.sin(LATITUDE) * StrictMath.sin(declination)
              + StrictMath.cos(LATITUDE) * product;
      if (height > 0) {
        up++;
        sum +=
            Math.max(
                0,
                StrictMath.sin(declination) * StrictMath.sin(LATITUDE - TILT)
                    + StrictMath.cos(LATITUDE - TILT) * product);
      }
    }
    return up == 0 ? 0 : sum / up;
  }
}
