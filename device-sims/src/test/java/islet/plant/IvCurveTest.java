package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Judged by the datasheet of Villalva et al. 2009 and by the implicit equation. */
class IvCurveTest {
  private final ModuleModel module = new ModuleModel(DemoPlants.MODULE);

  @Test
  void theCurvePassesThroughTheDatasheetsThreePoints() {
    IvCurve curve = IvCurve.of(module, 1000, 25, 400);
    assertEquals(8.21, curve.shortCircuitA(), 1e-6);
    assertEquals(0, curve.points().get(0).volts(), 1e-9);
    // The shunt takes a hundredth of a percent of the photo current at open circuit.
    assertEquals(32.9, curve.openCircuitV(), 0.03);
    assertEquals(7.61, module.at(1000, 25).currentA(26.3), 1e-9);
    // The paper's own fit peaks a little beside the datasheet's point.
    assertEquals(200.14, curve.maximumPower().watts(), 0.01);
    assertEquals(26.3, curve.maximumPower().volts(), 0.15);
  }

  @Test
  void currentFallsAllAlongAndNoPointBeatsTheMaximum() {
    for (double g : new double[] {200, 400, 700, 1000}) {
      IvCurve curve = IvCurve.of(module, g, 45, 200);
      List<IvCurve.Point> points = curve.points();
      assertEquals(201, points.size());
      for (int i = 1; i < points.size(); i++) {
        assertTrue(points.get(i).volts() > points.get(i - 1).volts());
        assertTrue(points.get(i).amps() < points.get(i - 1).amps());
        assertTrue(points.get(i).watts() <= curve.maximumPower().watts());
      }
    }
  }

  @Test
  void theVoltageAtACurrentInvertsTheCurrentAtAVoltage() {
    Random random = new Random(5);
    for (int i = 0; i < 5_000; i++) {
      SingleDiode curve = module.at(1200 * random.nextDouble(), -20 + 100 * random.nextDouble());
      double amps = (curve.photoA() + 0.5) * random.nextDouble();
      double volts = curve.voltageV(amps);
      assertEquals(0, curve.residualA(volts, amps), 1e-9);
      double step = 1e-4;
      double slope = (curve.voltageV(amps + step) - curve.voltageV(amps - step)) / (2 * step);
      assertEquals(slope, curve.slopeAtCurrent(amps), 1e-3 * Math.abs(slope));
      assertEquals(
          1 / curve.slopeAtCurrent(amps),
          curve.slopeAtVoltage(volts, amps),
          1e-9 * Math.abs(1 / curve.slopeAtCurrent(amps)));
    }
  }
}
