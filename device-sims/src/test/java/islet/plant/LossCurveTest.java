package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Judged by the three efficiencies the curve was drawn through. */
class LossCurveTest {
  private static final Efficiency POINTS = new Efficiency(0.90, 0.95, 0.93);

  @Test
  void theCurvePassesThroughItsThreePoints() {
    for (double idle : new double[] {0, 10, 25, 54}) {
      LossCurve curve = LossCurve.through(5000, POINTS, idle);
      assertEquals(0.90, 500 / (500 + curve.lossW(500)), 1e-12);
      assertEquals(0.95, 2500 / (2500 + curve.lossW(2500)), 1e-12);
      assertEquals(0.93, 5000 / (5000 + curve.lossW(5000)), 1e-12);
      assertEquals(idle, curve.lossW(0), 1e-12);
    }
  }

  @Test
  void outputIsTheInverseOfOutputPlusLossAndRisesWithInput() {
    for (double idle : new double[] {0, 10, 25, 54}) {
      LossCurve curve = LossCurve.through(5000, POINTS, idle);
      double last = -1;
      for (double p = 0; p < 12_000; p += 3.7) {
        double in = p + curve.lossW(p);
        assertEquals(p, curve.outputW(in), 1e-9 * Math.max(1, p));
        assertTrue(in > last);
        last = in;
      }
      assertEquals(0, curve.outputW(idle * 0.9), 0.0);
    }
  }

  @Test
  void pointsThatBendDownwardsAndAnIdleDrawAboveTheLossAreRefused() {
    assertThrows(
        IllegalArgumentException.class,
        () -> LossCurve.through(5000, new Efficiency(0.80, 0.81, 0.95), 5));
    assertThrows(IllegalArgumentException.class, () -> LossCurve.through(5000, POINTS, 60));
  }
}
