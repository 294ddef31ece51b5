package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Judged by limits that geometry alone fixes, and by one case worked by hand. */
class SkyModelTest {
  private static final double UP_35 = StrictMath.cos(StrictMath.toRadians(35));

  @Test
  void aLevelPlaneGetsAllDiffuseLightInEitherModel() {
    for (double cosZenith = 0.1; cosZenith <= 1; cosZenith += 0.1) {
      assertEquals(1, SkyModel.ISOTROPIC.share(700, 1361, cosZenith, cosZenith, 1), 1e-15);
      assertEquals(1, SkyModel.HAY_DAVIES.share(700, 1361, cosZenith, cosZenith, 1), 1e-15);
    }
  }

  @Test
  void withoutDirectLightAndAfterSunsetTheTwoAreOne() {
    double isotropic = SkyModel.ISOTROPIC.share(0, 1361, 0.5, 0.9, UP_35);
    assertEquals(isotropic, SkyModel.HAY_DAVIES.share(0, 1361, 0.5, 0.9, UP_35), 1e-15);
    assertEquals(isotropic, SkyModel.HAY_DAVIES.share(50, 1361, -0.01, 0.4, UP_35), 1e-15);
  }

  /**
   * Sun 40° high straight before a plane of 35°, 700 W/m² direct, 1361 outside: index 0.51433; cos
   * 15° over cos 50° is 1.50273; isotropic share (1 + cos 35°)/2 = 0.90958.
   */
  @Test
  void theHandCaseOfAFacingPlane() {
    double cosZenith = StrictMath.cos(StrictMath.toRadians(50));
    double cosIncidence = StrictMath.cos(StrictMath.toRadians(15));
    assertEquals(
        0.51433 * 1.50273 + 0.48567 * 0.90958,
        SkyModel.HAY_DAVIES.share(700, 1361, cosZenith, cosIncidence, UP_35),
        2e-5);
  }

  @Test
  void aPlaneThatTheSunStandsBehindLosesTheShareAroundTheSun() {
    assertEquals(0.48567 * 0.90958, SkyModel.HAY_DAVIES.share(700, 1361, 0.6, -0.2, UP_35), 2e-5);
  }

  /** A year over Chicago; anisotropic models give a few percent more there (common practice). */
  @Test
  void overAYearThePlaneGetsSomePercentMore() {
    EpwWeather weather = EpwWeather.read(DemoPlants.epw());
    double isotropic = yearly(SkyModel.ISOTROPIC, weather);
    double hayDavies = yearly(SkyModel.HAY_DAVIES, weather);
    assertTrue(hayDavies > 1.015 * isotropic, hayDavies + " of " + isotropic);
    assertTrue(hayDavies < 1.06 * isotropic, hayDavies + " of " + isotropic);
  }

  private static double yearly(SkyModel model, Weather weather) {
    PvSpec spec = new PvSpec(DemoPlants.MODULE, 5, 4, 35, 180, model, 3, ShadeDay.NONE);
    PvArray array = new PvArray(spec, DemoPlants.PLACE, weather);
    double sum = 0;
    for (int q = 0; q < 8760 * 2; q++) {
      array.turnTo(DemoPlants.SUMMER_NOON + q * 1_800_000_000L);
      sum += array.irradiance() / 2000;
    }
    return sum;
  }
}
