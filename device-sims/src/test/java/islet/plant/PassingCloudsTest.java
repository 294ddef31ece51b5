package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.io.IOException;
import java.nio.file.Files;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Judged by the energy of every hour of the weather file, by the published variability index and by
 * being a function of time and seed alone.
 */
class PassingCloudsTest {
  private static final long MINUTE = 60_000_000L;
  private static final long NEW_YEAR =
      Instant.parse("2025-01-01T06:00:00Z").getEpochSecond() * 1_000_000L;

  private static PassingClouds over(IntervalWeather base, long seed, double minutes) {
    return new PassingClouds(base, DemoPlants.PLACE, seed, minutes);
  }

  private static IntervalWeather hazy(double clearness) {
    return new ClearSkyWeather(DemoPlants.PLACE, -6, clearness, 20, 20, 2);
  }

  @ParameterizedTest
  @LongTest
  @ValueSource(doubles = {5, 11})
  void everyHourOfTheYearKeepsItsGlobalDirectAndDiffuseEnergy(double minutes) throws IOException {
    EpwWeather base = EpwWeather.read(DemoPlants.epw());
    PassingClouds clouds = new PassingClouds(base, base.station(), 7, minutes);
    List<String> lines = Files.readAllLines(DemoPlants.epw());
    Sky sky = new Sky();
    int moved = 0;
    for (int h = 0; h < 8760; h++) {
      String[] fields = lines.get(8 + h).split(",", -1);
      double[] sum = new double[3];
      double most = 0;
      double least = 1e9;
      // Every 5 s: a step that the clouds themselves don't use.
      for (int i = 0; i < 720; i++) {
        clouds.sample(NEW_YEAR + h * 60L * MINUTE + i * MINUTE / 12 + MINUTE / 24, sky);
        sum[0] += sky.ghi() / 720;
        sum[1] += sky.dni() / 720;
        sum[2] += sky.dhi() / 720;
        most = Math.max(most, sky.dni());
        least = Math.min(least, sky.dni());
        assertTrue(sky.ghi() >= 0 && sky.ghi() < 1500, "global of hour " + h + ": " + sky.ghi());
      }
      double global = Double.parseDouble(fields[13]);
      double direct = Double.parseDouble(fields[14]);
      double diffuse = Double.parseDouble(fields[15]);
      assertEquals(global, sum[0], 2e-3 * global + 0.02, "global of hour " + h);
      assertEquals(diffuse, sum[2], 2e-3 * diffuse + 0.02, "diffuse of hour " + h);
      if (global > 50) {
        assertEquals(direct, sum[1], 0.02 * direct + 0.02, "direct of hour " + h);
      }
      // No gap is much brighter than a clear sky, which Haurwitz and Erbs put below 900 W/m².
      assertTrue(most <= Math.max(960, direct * 1.1), "direct of hour " + h + ": " + most);
      moved += least < 0.1 * most && direct > 100 ? 1 : 0;
    }
    assertTrue(moved > 1000, "hours with clouds: " + moved);
  }

  /** Sum of the lengths of a day's curve over that of the clear sky's curve, minute by minute. */
  private static double variabilityIndex(Weather weather) {
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    Sky sky = new Sky();
    double length = 0;
    double clearLength = 0;
    double before = 0;
    double clearBefore = 0;
    for (int m = 0; m <= 1440; m++) {
      long at = DemoPlants.SUMMER_NOON + (m - 720) * MINUTE;
      weather.sample(at, sky);
      sun.turnTo(at);
      double clear = ClearSky.haurwitz(sun.cosZenith());
      if (m > 0) {
        length += Math.hypot(sky.ghi() - before, 1);
        clearLength += Math.hypot(clear - clearBefore, 1);
      }
      before = sky.ghi();
      clearBefore = clear;
    }
    return length / clearLength;
  }

  /** Classes of Stein, Hansen and Reno, 2012, from memory: above 10 high, below 2 clear or dull. */
  @Test
  void aDayOfBrokenCloudsIsHighlyVariableAndAClearOrDullDayIsNot() {
    for (long seed = 1; seed <= 20; seed++) {
      double broken = variabilityIndex(over(hazy(0.7), seed, 5));
      assertTrue(broken > 10, "seed " + seed + ": " + broken);
      assertTrue(broken < 40, "seed " + seed + ": " + broken);
    }
    assertEquals(variabilityIndex(hazy(0.99)), variabilityIndex(over(hazy(0.99), 3, 5)), 1e-12);
    assertTrue(variabilityIndex(over(hazy(0.99), 3, 5)) < 2);
    assertTrue(variabilityIndex(over(hazy(0.2), 3, 5)) < 2);
  }

  @Test
  void directLightIsMostlyNearlyClearOrNearlyGone() {
    PassingClouds clouds = over(hazy(0.7), 11, 5);
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    Sky sky = new Sky();
    int clear = 0;
    int gone = 0;
    int all = 0;
    for (int m = -300; m < 300; m++) {
      long at = DemoPlants.SUMMER_NOON + m * MINUTE;
      clouds.sample(at, sky);
      sun.turnTo(at);
      double share = sky.dni() / ClearSky.direct(sun.cosZenith(), 181);
      clear += share > 0.8 ? 1 : 0;
      gone += share < 0.2 ? 1 : 0;
      all++;
    }
    assertTrue(clear + gone > 0.75 * all, clear + " clear and " + gone + " gone of " + all);
    assertTrue(clear > 0.15 * all && gone > 0.15 * all, clear + " and " + gone + " of " + all);
  }

  @Test
  void anotherSeedGivesOtherCloudsAndTheSameSeedTheSameInAnyOrder() {
    PassingClouds one = over(hazy(0.6), 1, 5);
    PassingClouds again = over(hazy(0.6), 1, 5);
    PassingClouds other = over(hazy(0.6), 2, 5);
    Sky a = new Sky();
    Sky b = new Sky();
    double[] forward = new double[1440];
    for (int m = 0; m < 1440; m++) {
      one.sample(DemoPlants.SUMMER_NOON + m * MINUTE, a);
      forward[m] = a.dni();
    }
    int differ = 0;
    for (int m = 1439; m >= 0; m--) {
      again.sample(DemoPlants.SUMMER_NOON + m * MINUTE, b);
      assertEquals(Double.doubleToLongBits(forward[m]), Double.doubleToLongBits(b.dni()));
      other.sample(DemoPlants.SUMMER_NOON + m * MINUTE, b);
      differ += forward[m] != b.dni() ? 1 : 0;
    }
    assertTrue(differ > 200, differ + " minutes differ");
  }

  @Test
  void theClearSkyIsHaurwitzSplitByErbsAndDarkAtNight() {
    ClearSkyWeather clear = new ClearSkyWeather(DemoPlants.PLACE, 20, 2);
    SunPosition sun = new SunPosition(DemoPlants.PLACE);
    Sky sky = new Sky();
    for (int m = 0; m < 1440; m += 10) {
      long t = DemoPlants.SUMMER_NOON + m * MINUTE;
      clear.sample(t, sky);
      sun.turnTo(t);
      assertEquals(ClearSky.haurwitz(sun.cosZenith()), sky.ghi(), 1e-12);
      assertEquals(sky.ghi(), sky.dhi() + sky.dni() * Math.max(0, sun.cosZenith()), 1e-9);
    }
  }

  @Test
  void theAirIsWarmestAtThreeInTheAfternoonAndColdestTwelveHoursLater() {
    ClearSkyWeather day = new ClearSkyWeather(DemoPlants.PLACE, -6, 0.8, 24, 10, 2);
    Sky sky = new Sky();
    day.sample(DemoPlants.SUMMER_NOON + 180 * MINUTE, sky);
    assertEquals(24, sky.ambientC(), 1e-9);
    day.sample(DemoPlants.SUMMER_NOON + 900 * MINUTE, sky);
    assertEquals(10, sky.ambientC(), 1e-9);
    day.sample(DemoPlants.SUMMER_NOON - 180 * MINUTE, sky);
    assertEquals(17, sky.ambientC(), 1e-9);
  }
}
