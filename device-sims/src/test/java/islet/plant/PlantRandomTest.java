package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Judged by Kirchhoff's current law, by conservation (the books throw) and by finiteness. */
class PlantRandomTest {
  private static final int PLANTS = 17;
  private static final int STATES = 1000;

  /** From a 12 V cabin to a 400 V bank with 100 kW, on stiff and weak services. */
  private enum Scale {
    CABIN(6, 100, 2, 1, 30, 1_000, 230),
    LANDING(24, 400, 5, 4, 80, 5_000, 240),
    DEPOT(200, 500, 20, 30, 250, 100_000, 400);

    final int cells;
    final double ah;
    final int series;
    final int parallel;
    final double regulatorA;
    final double ratedW;
    final double acV;

    Scale(
        int cells,
        double ah,
        int series,
        int parallel,
        double regulatorA,
        double ratedW,
        double acV) {
      this.cells = cells;
      this.ah = ah;
      this.series = series;
      this.parallel = parallel;
      this.regulatorA = regulatorA;
      this.ratedW = ratedW;
      this.acV = acV;
    }

    double volts(double perCell) {
      return perCell * cells;
    }

    /** Resistance that drops one part in a thousand of the bank's voltage at rated power. */
    double ohm() {
      return 1e-3 * volts(2) * volts(2) / ratedW;
    }

    /** As many lithium cells as come nearest to the lead-acid bank's voltage from below. */
    BatterySpec bank(Random random) {
      return random.nextBoolean()
          ? LeadAcidSpec.flooded(cells, ah)
          : LfpSpec.prismatic((int) (volts(2.17) / 3.2), ah);
    }

    Plant plant(Transfer transfer, Random random) {
      double w = ratedW * StrictMath.pow(10, -0.8 + 1.3 * random.nextDouble());
      List<CircuitSpec> circuits =
          List.of(
              new CircuitSpec("a", Panel.CRITICAL, new ConstantLoad(0.2 * w), 0.2, 0.3, 0.5, 0.8),
              new CircuitSpec("b", Panel.CRITICAL, new ConstantLoad(0.1 * w), 0, 0, 1, 1),
              new CircuitSpec("c", Panel.NONCRITICAL, new ConstantLoad(0.5 * w), 1, 0, 0, 0.9));
      double serviceOhm =
          acV * acV / ratedW * 0.005 * StrictMath.pow(10, 1.5 * random.nextDouble());
      PlantSpec spec =
          new PlantSpec(
              DemoPlants.PLACE,
              new PvSpec(DemoPlants.MODULE, series, parallel, 35, 180),
              new RegulatorSpec(
                  regulatorA,
                  new Efficiency(0.95, 0.975, 0.97),
                  IDLE * regulatorA * volts(2),
                  2 * ohm(),
                  ohm()),
              bank(random),
              random.nextInt(5) == 0 ? 0.001 : random.nextDouble(),
              2 * ohm(),
              new InverterSpec(
                  ratedW,
                  2 * ratedW,
                  5,
                  new Efficiency(0.90, 0.95, 0.93),
                  IDLE * ratedW,
                  ratedW / volts(2) / 1.5,
                  volts(1.75),
                  volts(2.67),
                  2 * ohm(),
                  ohm(),
                  0.1,
                  3,
                  0.5),
              new UtilitySpec(acV, 60, serviceOhm, serviceOhm, 0.2 * ratedW),
              transfer,
              transfer == Transfer.TIE
                  ? Optional.empty()
                  : Optional.of(
                      new ChargerSpec(
                          0.6 * regulatorA,
                          new Efficiency(0.88, 0.92, 0.9),
                          IDLE * regulatorA * volts(2),
                          2 * ohm(),
                          ohm())),
              circuits);
      return new Plant(spec, new ConstantWeather(900, 800, 150, 20, 2), DemoPlants.SUMMER_NOON);
    }
  }

  private static final double IDLE = 0.004;

  private static void stir(Plant plant, Scale scale, Random random) {
    plant.setShade(random.nextInt(3) == 0 ? 0 : random.nextDouble());
    plant.setRegulator(
        random.nextBoolean(), volts(scale, random), 1.2 * scale.regulatorA * random.nextDouble());
    switch (random.nextInt(3)) {
      case 0 -> plant.setInverterOff();
      case 1 ->
          plant.setInverterFollowing(
              volts(scale, random),
              scale.ratedW / 40 * random.nextDouble(),
              volts(scale, random),
              1.2 * scale.ratedW * random.nextDouble());
      default -> plant.setInverterForming(55 + 10 * random.nextDouble());
    }
    plant.setIslandVoltage(0.8 + 0.4 * random.nextDouble());
    plant.setCharger(
        random.nextInt(3) > 0, volts(scale, random), scale.regulatorA * random.nextDouble());
    switch (plant.spec().transfer()) {
      case NONE -> {}
      case TIE -> plant.setTieClosed(random.nextBoolean());
      case CHANGEOVER -> {
        plant.setTieClosed(random.nextBoolean());
        if (random.nextInt(3) == 0) {
          plant.setBetween();
        }
      }
    }
    plant.setUtility(
        random.nextInt(3) > 0,
        random.nextInt(6) == 0 ? 0 : 1.3 * random.nextDouble(),
        55 + 10 * random.nextDouble());
    plant.addUtilityPhaseDeg(360 * random.nextDouble());
    plant.setCircuitClosed(random.nextInt(3), random.nextBoolean());
    plant.setBatteryContactor(
        random.nextInt(3) == 0
            ? Contactor.values()[random.nextInt(Contactor.values().length)]
            : Contactor.CLOSED);
    plant.setBatteryResistanceFactor(StrictMath.pow(10, 1.5 * random.nextDouble()));
    plant.setBatteryTemperature(-20 + 70 * random.nextDouble());
  }

  private static double volts(Scale scale, Random random) {
    return scale.volts(1.7 + 0.9 * random.nextDouble());
  }

  @Test
  void fiftyOneThousandRandomStatesOfThreeScalesAndTwoChemistriesAreSolvedAndBalanced() {
    Random random = new Random(20_26);
    for (int p = 0; p < PLANTS; p++) {
      for (Scale scale : Scale.values()) {
        Plant plant = scale.plant(Transfer.values()[p % Transfer.values().length], random);
        for (int s = 0; s < STATES; s++) {
          stir(plant, scale, random);
          plant.solve();
          check(plant);
          plant.advanceTo(plant.nowMicros() + 1 + random.nextInt(1_500_000));
          check(plant);
        }
      }
    }
  }

  private static void check(Plant plant) {
    double v = plant.busVoltageV();
    double idleA =
        plant.regulatorCurrentA()
            + plant.chargerCurrentA()
            + plant.inverterDcCurrentA()
            - plant.batteryCurrentA();
    double most = plant.spec().inverter().idleW() + plant.spec().regulator().idleW();
    assertTrue(idleA >= -1e-6 && idleA * v <= most + 1e-4, "idle draws take " + idleA * v + " W");
    double batteryA = plant.batteryCurrentA();
    switch (plant.batteryContactor()) {
      case CLOSED ->
          assertEquals(v - plant.batteryTerminalV(), plant.spec().dcCableOhm() * batteryA, 1e-9);
      case DISCHARGE_ONLY -> {
        assertTrue(batteryA <= 1e-9, batteryA + " A into a battery that refuses them");
        double leastV = plant.batteryTerminalV() + plant.spec().dcCableOhm() * batteryA;
        assertTrue(v >= leastV - 1e-9, v + " V on a bus that a battery holds at " + leastV);
      }
      case OPEN -> assertEquals(0, batteryA, 1e-9);
    }
    boolean joined = plant.tieClosed() && plant.spec().transfer() == Transfer.TIE;
    double inverterIntoMain = (joined ? plant.inverterPowerW() : 0) - plant.chargerPowerW();
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
          plant.inverterVoltagePu(),
          plant.chargerTerminalV(),
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
    if (plant.between()) {
      assertEquals(0, plant.criticalVoltagePu());
    }
    assertTrue(plant.pvPowerW() <= plant.pvAvailableW() * (1 + 1e-9) + 1e-9);
  }
}
