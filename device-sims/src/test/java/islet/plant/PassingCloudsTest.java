package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Judged by the cover it was asked for and by being a function of time and seed alone. */
class PassingCloudsTest {
  private static final ConstantWeather SUN = new ConstantWeather(900, 800, 150, 20, 2);
  private static final long MINUTE = 60_000_000L;

  @Test
  void directLightIsTakenForTheShareOfTimeAskedForAndDiffuseStays() {
    PassingClouds clouds = new PassingClouds(SUN, 7, 0.3, 0.9, 4);
    Sky sky = new Sky();
    double direct = 0;
    int n = 200_000;
    for (int i = 0; i < n; i++) {
      clouds.sample(i * MINUTE, sky);
      direct += sky.dni();
      assertEquals(150, sky.dhi(), 0.0);
      assertTrue(sky.ghi() >= 150 && sky.ghi() <= 900);
    }
    // 50,000 independent values of probability 0.3: one standard deviation is 0.002.
    assertEquals(0.3, (1 - direct / n / 800) / 0.9, 0.01);
  }

  @Test
  void anotherSeedGivesOtherCloudsAndTheSameSeedTheSame() {
    PassingClouds one = new PassingClouds(SUN, 1, 0.5, 1, 5);
    PassingClouds again = new PassingClouds(SUN, 1, 0.5, 1, 5);
    PassingClouds other = new PassingClouds(SUN, 2, 0.5, 1, 5);
    Sky a = new Sky();
    Sky b = new Sky();
    int differ = 0;
    for (int i = 999; i >= 0; i--) {
      one.sample(i * MINUTE, a);
      again.sample(i * MINUTE, b);
      assertEquals(a.dni(), b.dni(), 0.0);
      other.sample(i * MINUTE, b);
      differ += a.dni() != b.dni() ? 1 : 0;
    }
    assertTrue(differ > 300);
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
}
