package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** Judged by the implicit single-diode equation and by brute force. */
class SingleDiodeTest {
  private final ModuleModel module = new ModuleModel(DemoPlants.MODULE);

  @Test
  void theExplicitCurrentLiesOnTheImplicitCurve() {
    Random random = new Random(8);
    for (int i = 0; i < 20_000; i++) {
      SingleDiode curve =
          module.at(1 + 1200 * random.nextDouble(), -30 + 120 * random.nextDouble());
      double v = -5 + 45 * random.nextDouble();
      double amps = curve.currentA(v);
      double scale = Math.max(1, -curve.slopeAtJunction(v + amps * curve.seriesOhm()));
      assertEquals(0, curve.residualA(v, amps), 1e-9 * scale);
    }
  }

  @Test
  void lambertsWInvertsItsDefinition() {
    for (double logX = -60; logX < 600; logX += 0.37) {
      double w = LambertW.ofExp(logX);
      assertEquals(logX, w + StrictMath.log(w), 1e-12 * Math.max(1, Math.abs(logX)));
    }
  }

  @Test
  void maximumPowerIsNotExceededAnywhereOnAFineGrid() {
    for (int g = 20; g <= 1200; g += 118) {
      SingleDiode curve = module.at(g, 10 + g / 30.0);
      double best = 0;
      double open = curve.openCircuitV();
      for (int i = 0; i <= 20_000; i++) {
        double v = open * i / 20_000;
        best = Math.max(best, v * curve.currentA(v));
      }
      assertTrue(curve.maximumPowerW() >= best - 1e-9);
      assertEquals(best, curve.maximumPowerW(), 1e-6 * best);
    }
  }

  @Test
  void theOpenCircuitVoltageMovesWithTemperatureAsTheDatasheetSays() {
    double cold = module.at(1000, 15).openCircuitV();
    double warm = module.at(1000, 35).openCircuitV();
    // The shunt takes a hundredth of a percent of the photo current at open circuit.
    assertEquals(32.9, module.at(1000, 25).openCircuitV(), 0.03);
    assertEquals(-0.123, (warm - cold) / 20, 0.001);
  }

  @Test
  void lessThanMaximumPowerIsFoundBetweenThereAndOpenCircuit() {
    SingleDiode curve = module.at(700, 40);
    double v = curve.terminalV(curve.junctionForPowerV(60));
    assertEquals(60, v * curve.currentA(v), 1e-8);
    assertTrue(v > curve.terminalV(curve.junctionAtMaximumPowerV()) && v < curve.openCircuitV());
    assertEquals(
        curve.openCircuitV(), curve.terminalV(curve.junctionForPowerV(0)), 1e-9, "nothing taken");
  }

  @Test
  void anImpossibleDatasheetIsRefused() {
    assertThrows(
        IllegalArgumentException.class,
        () -> new ModuleModel(new ModuleSpec(8, 33, 7.99, 32.5, 54, 0, 0, 45)));
  }
}
