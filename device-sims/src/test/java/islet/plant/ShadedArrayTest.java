package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/**
 * Judged by a fine sweep that knows nothing of ranges or maxima: at every voltage it finds the
 * current at which the groups' voltages add up to it.
 */
class ShadedArrayTest {
  private final ModuleModel module = new ModuleModel(DemoPlants.MODULE);

  private static double sweptStringV(
      SingleDiode lit, SingleDiode dim, ShadeSpec shade, int series, int perModule, double amps) {
    int groups = shade.modules() * shade.substrings();
    return (series * perModule - groups) * Math.max(lit.voltageV(amps) / perModule, -0.5)
        + groups * Math.max(dim.voltageV(amps) / perModule, -0.5);
  }

  /** The largest power over all voltages to open circuit in steps of a 1500th. */
  private static double sweptMaximumW(
      SingleDiode lit, SingleDiode dim, ShadeSpec shade, int series, int perModule, int parallel) {
    double best = 0;
    int others = parallel - shade.strings();
    for (int i = 0; i <= 1500; i++) {
      double volts = series * lit.openCircuitV() * i / 1500;
      double low = 0;
      double high = lit.photoA();
      for (int k = 0; k < 40; k++) {
        double middle = 0.5 * (low + high);
        if (sweptStringV(lit, dim, shade, series, perModule, middle) > volts) {
          low = middle;
        } else {
          high = middle;
        }
      }
      best =
          Math.max(best, volts * (shade.strings() * low + others * lit.currentA(volts / series)));
    }
    return best;
  }

  @Test
  @LongTest
  void theGlobalMaximumIsThatOfAFineSweepOverRandomShade() {
    Random random = new Random(77);
    int bypassed = 0;
    for (int n = 0; n < 80; n++) {
      int series = 1 + random.nextInt(6);
      int parallel = 1 + random.nextInt(4);
      int perModule = 1 + random.nextInt(3);
      double light = random.nextInt(5) == 0 ? 0 : random.nextDouble();
      ShadeSpec shade =
          new ShadeSpec(
              1 + random.nextInt(parallel),
              1 + random.nextInt(series),
              1 + random.nextInt(perModule),
              light,
              0,
              1440);
      double g = 100 + 900 * random.nextDouble();
      SingleDiode lit = module.at(g, 40);
      SingleDiode dim = module.at(g * light, 30);
      ShadedArray array = new ShadedArray(series, perModule);
      array.set(lit, dim, shade, parallel);
      double swept = sweptMaximumW(lit, dim, shade, series, perModule, parallel);
      String what = shade + " of " + series + " by " + parallel + ", " + perModule + " diodes";
      assertTrue(array.maximumPowerW() >= swept * (1 - 1e-9) - 1e-8, what);
      assertEquals(swept, array.maximumPowerW(), 2e-5 * swept + 1e-6, what);
      double v = array.maximumPowerV();
      assertEquals(
          array.maximumPowerW(), v * array.currentA(v), 1e-6 * array.maximumPowerW() + 1e-9, what);
      bypassed += v < 0.8 * series * lit.terminalV(lit.junctionAtMaximumPowerV()) ? 1 : 0;
    }
    assertTrue(bypassed > 10, bypassed + " cases with bypassed groups");
  }

  @Test
  void currentAndSlopeAtAVoltageAreThoseOfTheSweptCurve() {
    ShadeSpec shade = new ShadeSpec(2, 2, 1, 0.4, 0, 1440);
    SingleDiode lit = module.at(900, 45);
    SingleDiode dim = module.at(360, 35);
    ShadedArray array = new ShadedArray(4, 3);
    array.set(lit, dim, shade, 3);
    double before = Double.POSITIVE_INFINITY;
    for (double amps = 0.05; amps < lit.photoA() - 0.01; amps += 0.05) {
      double volts = sweptStringV(lit, dim, shade, 4, 3, amps);
      assertEquals(2 * amps + lit.currentA(volts / 4), array.currentA(volts), 1e-7, amps + " A");
    }
    for (double volts = 0.5; volts < 130; volts += 0.5) {
      double amps = array.currentA(volts);
      assertTrue(amps <= before, "rises at " + volts + " V");
      double slope = array.slope();
      double step = 1e-5;
      double both = (array.currentA(volts + step) - array.currentA(volts - step)) / (2 * step);
      assertEquals(both, slope, 1e-4 * Math.abs(both) + 1e-6, "slope at " + volts + " V");
      before = amps;
    }
  }

  /**
   * Two modules in series, one with a fifth of the light. With the dark one bypassed: the bright
   * one's own best less half a volt times its current for each of three diodes. With both: about a
   * fifth of the current at two modules' voltage.
   */
  @Test
  void ofTwoModulesTheDarkOneIsBypassedWhenItsLightIsAFifth() {
    SingleDiode lit = module.at(1000, 25);
    SingleDiode dim = module.at(200, 25);
    ShadedArray array = new ShadedArray(2, 3);
    array.set(lit, dim, new ShadeSpec(1, 1, 3, 0.2, 0, 1440), 1);
    // 200.14 W at 26.3 V and 7.61 A, less 1.5 V · 7.61 A = 188.7 W; the drop moves it a little.
    assertEquals(188.7, array.maximumPowerW(), 0.2);
    // Both: 0.2 · 8.2 A at some 53 V is less than half of that.
    assertTrue(array.maximumPowerW() > 1.5 * 0.2 * 8.21 * 53);

    array.set(lit, module.at(900, 25), new ShadeSpec(1, 1, 3, 0.9, 0, 1440), 1);
    // With nine tenths of the light it pays to use both, at the weaker one's current.
    assertTrue(array.maximumPowerW() > 2 * 0.9 * 195 && array.maximumPowerW() < 2 * 200.14);
    assertTrue(array.maximumPowerV() > 50);
  }

  @Test
  void aBlockedStringLeavesTheRest() {
    SingleDiode lit = module.at(800, 40);
    SingleDiode dark = module.at(0, 20);
    ShadedArray array = new ShadedArray(3, 3);
    array.set(lit, dark, new ShadeSpec(1, 3, 3, 0, 0, 1440), 4);
    double rest = 3 * 3 * lit.maximumPowerW();
    assertEquals(rest, array.maximumPowerW(), 1e-9 * rest);
    double volts = 3 * lit.terminalV(lit.junctionAtMaximumPowerV());
    assertEquals(3 * lit.currentA(volts / 3), array.currentA(volts), 1e-9);
  }

  @Test
  void lessThanTheMaximumIsTakenAboveItsVoltage() {
    SingleDiode lit = module.at(1000, 25);
    ShadedArray array = new ShadedArray(4, 3);
    for (double light : new double[] {0, 0.2, 0.6, 0.95}) {
      array.set(lit, module.at(1000 * light, 25), new ShadeSpec(1, 2, 3, light, 0, 1440), 2);
      double most = array.maximumPowerW();
      assertEquals(array.maximumPowerV(), array.voltageForPowerV(most), 1e-9);
      for (double share = 0.05; share < 1; share += 0.05) {
        double v = array.voltageForPowerV(share * most);
        assertTrue(v > array.maximumPowerV());
        assertEquals(share * most, v * array.currentA(v), 1e-6 * most, light + ", " + share);
      }
    }
  }

  private static PvArray array(ShadeDay shade) {
    return new PvArray(
        new PvSpec(DemoPlants.MODULE, 5, 4, 35, 180, SkyModel.ISOTROPIC, 3, shade),
        DemoPlants.PLACE,
        new ClearSkyWeather(DemoPlants.PLACE, 20, 2));
  }

  @Test
  void outsideItsHoursShadeChangesNoBitAndWithinThemItTakesPower() {
    PvArray plain = array(ShadeDay.NONE);
    PvArray shaded = array(new ShadeDay(-6, List.of(new ShadeSpec(2, 2, 3, 0.1, 540, 600))));
    for (int m = 1; m < 1440; m += 7) {
      long at = DemoPlants.SUMMER_NOON + (m - 720) * 60_000_000L + 17_000_000L;
      plain.turnTo(at);
      shaded.turnTo(at);
      if (m >= 540 && m < 599) {
        assertTrue(shaded.availableW() < 0.85 * plain.availableW(), "minute " + m);
        assertTrue(shaded.availableW() > 0.5 * plain.availableW(), "minute " + m);
        assertTrue(shaded.voltageV(0.5 * shaded.availableW()) > 0);
      } else if (m < 539 || m > 600) {
        assertEquals(
            Double.doubleToLongBits(plain.availableW()),
            Double.doubleToLongBits(shaded.availableW()),
            "minute " + m);
        assertEquals(plain.voltageV(500), shaded.voltageV(500), 0.0);
      }
      assertEquals(plain.irradiance(), shaded.irradiance(), 0.0);
    }
  }
}
