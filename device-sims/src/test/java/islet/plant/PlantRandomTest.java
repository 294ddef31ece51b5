package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Judged by Kirchhoff's current law, by conservation (the books throw) and by finiteness. */
class PlantRandomTest {
  private static final int PLANTS = 50;
  private static final int STATES = 1000;

  private static Plant plant(Random random) {
    double scale = StrictMath.pow(10, -0.5 + 1.5 * random.nextDouble());
    List<CircuitSpec> circuits =
        List.of(
            new CircuitSpec("a", Panel.CRITICAL, new ConstantLoad(900 * scale), 0.2, 0.3, 0.5, 0.8),
            new CircuitSpec("b", Panel.CRITICAL, new ConstantLoad(300 * scale), 0, 0, 1, 1),
            new CircuitSpec("c", Panel.NONCRITICAL, new ConstantLoad(2000 * scale), 1, 0, 0, 0.9));
    double soc = random.nextInt(5) == 0 ? 0.001 : random.nextDouble();
    return new Plant(
        DemoPlants.spec(soc, circuits),
        new ConstantWeather(900, 800, 150, 20, 2),
        DemoPlants.SUMMER_NOON);
  }

  private static void stir(Plant plant, Random random) {
    plant.setShade(random.nextInt(3) == 0 ? 0 : random.nextDouble());
    plant.setRegulator(
        random.nextBoolean(), 40 + 25 * random.nextDouble(), 100 * random.nextDouble());
    switch (random.nextInt(3)) {
      case 0 -> plant.setInverterOff();
      case 1 ->
          plant.setInverterFollowing(
              40 + 22 * random.nextDouble(),
              80 * random.nextDouble(),
              40 + 22 * random.nextDouble(),
              6000 * random.nextDouble());
      default -> plant.setInverterForming(55 + 10 * random.nextDouble());
    }
    plant.setIslandVoltage(0.8 + 0.4 * random.nextDouble());
    plant.setTieClosed(random.nextBoolean());
    plant.setUtility(
        random.nextInt(3) > 0, 1.3 * random.nextDouble(), 55 + 10 * random.nextDouble());
    plant.addUtilityPhaseDeg(360 * random.nextDouble());
    plant.setCircuitClosed(random.nextInt(3), random.nextBoolean());
    plant.setBatteryResistanceFactor(StrictMath.pow(10, 1.5 * random.nextDouble()));
    plant.setBatteryTemperature(-20 + 70 * random.nextDouble());
  }

  @Test
  void fiftyThousandRandomStatesAreSolvedAndBalanced() {
    Random random = new Random(20_26);
    for (int p = 0; p < PLANTS; p++) {
      Plant plant = plant(random);
      for (int s = 0; s < STATES; s++) {
        stir(plant, random);
        plant.solve();
        check(plant);
        plant.advanceTo(plant.nowMicros() + 1 + random.nextInt(1_500_000));
        check(plant);
      }
    }
  }

  private static void check(Plant plant) {
    double v = plant.busVoltageV();
    double idleA = plant.regulatorCurrentA() + plant.inverterDcCurrentA() - plant.batteryCurrentA();
    assertTrue(idleA >= -1e-6 && idleA * v <= 29 + 1e-6, "idle draws take " + idleA * v + " W");
    assertEquals(v - plant.batteryTerminalV(), 0.002 * plant.batteryCurrentA(), 1e-9);
    double inverterIntoMain = plant.tieClosed() ? plant.inverterPowerW() : 0;
    double criticalFromMain = plant.tieClosed() ? plant.criticalPowerW() : 0;
    assertEquals(
        plant.noncriticalPowerW() + criticalFromMain - inverterIntoMain,
        plant.pccPowerW(),
        1e-6 * (1 + Math.abs(plant.inverterPowerW())));
    for (double x :
        new double[] {
          v,
          plant.pvPowerW(),
          plant.mainVoltagePu(),
          plant.criticalVoltagePu(),
          plant.utilityLineV(),
          plant.batteryTemperatureC(),
          plant.batterySoc(),
          plant.angleDeg(),
          plant.circulatingA(),
          plant.batteryGassingA()
        }) {
      assertTrue(Double.isFinite(x));
    }
    assertTrue(plant.pvPowerW() <= plant.pvAvailableW() * (1 + 1e-9) + 1e-9);
  }
}
