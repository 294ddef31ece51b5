package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.hipparchus.ode.ODEState;
import org.hipparchus.ode.OrdinaryDifferentialEquation;
import org.hipparchus.ode.nonstiff.DormandPrince853Integrator;
import org.junit.jupiter.api.Test;

/** Judged by numerical integration of the two well equations (Manwell and McGowan 1993). */
class KineticBatteryTest {
  private static final double C = 0.4;
  private static final double FULL = 1.55e6;
  private static final double RATE = 2.0 / 3600;

  /** The paper's equations: heads h = q/share, exchange through k = k'·c·(1 − c). */
  private record Wells(double intoFirstA) implements OrdinaryDifferentialEquation {
    @Override
    public int getDimension() {
      return 2;
    }

    @Override
    public double[] computeDerivatives(double t, double[] q) {
      double exchange = RATE * C * (1 - C) * (q[0] / C - q[1] / (1 - C));
      return new double[] {intoFirstA - exchange, exchange};
    }
  }

  @Test
  void theClosedFormEqualsNumericalIntegrationOverManyCurrents() {
    KineticBattery battery = new KineticBattery(C, RATE, FULL, 0.6);
    double[] q = {0.6 * FULL * C, 0.6 * FULL * (1 - C)};
    DormandPrince853Integrator integrator = new DormandPrince853Integrator(1e-3, 1e4, 1e-6, 1e-12);
    Random random = new Random(14);
    double time = 0;
    for (int i = 0; i < 300; i++) {
      double amps = -80 + 160 * random.nextDouble();
      double seconds = 1 + 3000 * random.nextDouble();
      battery.advance(amps, seconds);
      q =
          integrator
              .integrate(new Wells(amps), new ODEState(time, q), time + seconds)
              .getPrimaryState();
      time += seconds;
      assertEquals(q[0], battery.availableC(), 1e-8 * FULL);
      assertEquals(q[1], battery.boundC(), 1e-8 * FULL);
    }
  }

  @Test
  void theChangesOfTheWellsAddUpToTheChargePutIn() {
    KineticBattery battery = new KineticBattery(C, RATE, FULL, 0.5);
    battery.advance(25, 0.001);
    assertEquals(0.025, battery.changeOfAvailableC() + battery.changeOfBoundC(), 1e-15);
  }

  @Test
  void aFullBankGivesItsTenHourCapacityInTenHours() {
    LeadAcidSpec spec = LeadAcidSpec.flooded(24, 400);
    KineticBattery battery =
        new KineticBattery(spec.availableShare(), spec.ratePerH() / 3600, spec.fullAh() * 3600, 1);
    battery.advance(-40, 36_000);
    assertEquals(0, battery.availableHead(), 1e-12);
  }
}
