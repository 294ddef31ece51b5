package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by circuit laws worked out by hand and by what each arrangement must do. */
class PlantTest {
  private static final long SECOND = 1_000_000L;

  private static Plant tied(Plant plant) {
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.solve();
    return plant;
  }

  private static Plant withLoads(double criticalW, double noncriticalW, double zShare) {
    List<CircuitSpec> circuits =
        List.of(
            new CircuitSpec(
                "essential", Panel.CRITICAL, new ConstantLoad(criticalW), zShare, 0, 1 - zShare, 1),
            new CircuitSpec(
                "other",
                Panel.NONCRITICAL,
                new ConstantLoad(noncriticalW),
                zShare,
                0,
                1 - zShare,
                1));
    return new Plant(
        DemoPlants.spec(0.8, circuits),
        new ConstantWeather(0, 0, 0, 20, 0),
        DemoPlants.SUMMER_NOON);
  }

  @Test
  void everythingIsDeadBeforeAnythingIsSwitchedOn() {
    Plant plant = DemoPlants.dark(0.8);
    assertEquals(0, plant.mainVoltagePu(), 0.0);
    assertEquals(0, plant.criticalVoltagePu(), 0.0);
    assertEquals(0, plant.batteryCurrentA(), 1e-9);
    assertEquals(plant.unservedCriticalW(), plant.circuitWantedW(0) + plant.circuitWantedW(1), 0);
  }

  @Test
  void surplusServesTheCriticalThenTheOtherLoadsThenTheUtility() {
    Plant plant = tied(DemoPlants.sunny(0.98));
    plant.setRegulator(true, 58, 80);
    plant.setInverterFollowing(50, 0, 54, 5000);
    plant.solve();
    assertTrue(plant.inverterPowerW() > plant.criticalPowerW() + plant.noncriticalPowerW());
    assertTrue(plant.pccPowerW() < 0);
    assertEquals(
        plant.criticalPowerW() + plant.noncriticalPowerW() - plant.inverterPowerW(),
        plant.pccPowerW(),
        1e-6);
    assertEquals(plant.pvAvailableW(), plant.pvPowerW(), 1e-6);
  }

  @Test
  void theHigherSetPointHoldsTheBusAndTheLowerOneRests() {
    Plant plant = tied(DemoPlants.sunny(0.999));
    plant.setRegulator(true, 56, 80);
    plant.setInverterFollowing(54, 60, 60, 0);
    plant.solve();
    assertEquals(0, plant.inverterDcCurrentA(), 0.0);
    assertEquals(56, plant.regulatorTerminalV(), 0.5);
    assertTrue(plant.pvPowerW() < plant.pvAvailableW());
  }

  @Test
  void aLimitedArraySitsBetweenMaximumPowerAndOpenCircuit() {
    Plant plant = DemoPlants.sunny(0.6);
    plant.setRegulator(true, 58, 10);
    plant.solve();
    assertEquals(10, plant.regulatorCurrentA(), 1e-9);
    assertTrue(plant.pvVoltageV() > 26.3 * 5 * 0.9 && plant.pvVoltageV() < 32.9 * 5);
    assertEquals(plant.pvPowerW(), plant.pvVoltageV() * plant.pvCurrentA(), 1e-6);
  }

  @Test
  void threeMetersOnOneBusDifferByTheDropsInTheirCables() {
    Plant plant = DemoPlants.sunny(0.6);
    plant.setRegulator(true, 58, 80);
    plant.setInverterForming(60);
    plant.solve();
    double bus = plant.busVoltageV();
    assertEquals(0.002 * plant.regulatorCurrentA(), plant.regulatorTerminalV() - bus, 1e-9);
    assertEquals(0.001 * plant.inverterDcCurrentA(), plant.inverterTerminalV() - bus, 1e-9);
    assertEquals(0.002 * plant.batteryCurrentA(), bus - plant.batteryTerminalV(), 1e-9);
    assertTrue(plant.regulatorTerminalV() > bus && bus > plant.batteryTerminalV());
    assertTrue(plant.inverterTerminalV() < bus);
  }

  @Test
  void aFormingInverterHoldsOnePerUnitAndSagsOnlyBeyondItsSurge() {
    Plant light = withLoads(9_000, 0, 1);
    light.setInverterForming(60);
    light.solve();
    assertEquals(1, light.criticalVoltagePu(), 0.0);
    assertEquals(9_000, light.inverterPowerW(), 1e-6);
    Plant heavy = withLoads(20_000, 0, 1);
    heavy.setInverterForming(60);
    heavy.solve();
    // Its limit is a current. Constant impedance: half the current, half the voltage.
    assertEquals(0.5, heavy.criticalVoltagePu(), 1e-9);
    assertEquals(5_000, heavy.inverterPowerW(), 1e-6);
    assertEquals(20_000, heavy.inverterDemandW(), 1e-9);
  }

  @Test
  void onAnEmptyBankTheInverterReportsUndervoltageAndItsOutputSags() {
    Plant plant =
        new Plant(
            DemoPlants.spec(0.02), new ConstantWeather(0, 0, 0, 20, 0), DemoPlants.SUMMER_NOON);
    plant.setInverterForming(60);
    plant.setBatteryResistanceFactor(20);
    plant.solve();
    assertTrue(plant.inverterUndervoltage());
    assertTrue(plant.criticalVoltagePu() < 1 && plant.criticalVoltagePu() > 0);
  }

  @Test
  void aFollowingInverterDoesNothingWithoutAVoltageToFollow() {
    Plant plant = DemoPlants.sunny(0.98);
    plant.setRegulator(true, 58, 80);
    plant.setInverterFollowing(50, 30, 52, 5000);
    plant.solve();
    assertEquals(0, plant.inverterPowerW(), 0.0);
    assertEquals(0, plant.criticalVoltagePu(), 0.0);
  }

  @Test
  void backfeedShowsOnTheLineAsTheDividerOfServiceAndNeighbours() {
    Plant plant = withLoads(500, 500, 1);
    plant.setTieClosed(true);
    plant.setInverterForming(60);
    plant.solve();
    // 240 V over 0.03 + j0.02 Ω and the neighbours' 72 Ω (800 W at 240 V).
    double expected = 240 * 72 / Math.hypot(72.03, 0.02);
    assertEquals(expected, plant.utilityLineV(), 1e-6);
    assertTrue(plant.pccPowerW() < -700);
    assertFalse(plant.twoSources());
    plant.setTieClosed(false);
    plant.solve();
    assertEquals(0, plant.utilityLineV(), 0.0);
  }

  @Test
  void anIslandLeftToAFollowingInverterKeepsAVoltageFromItsPowerAndRunsOffInFrequency() {
    Plant plant = tied(withLoads(800, 400, 1));
    plant.setRegulator(false, 0, 0);
    // Feeds exactly what the site and the neighbours take: the matched case.
    plant.setInverterFollowing(40, 0, 45, 2000);
    plant.solve();
    assertEquals(2000, plant.inverterPowerW(), 1e-6);
    plant.setUtility(false, 0, 60);
    plant.solve();
    assertEquals(1, plant.criticalVoltagePu(), 0.001);
    assertTrue(plant.utilityLineV() > 230);
    assertEquals(60, plant.mainFrequencyHz(), 0.01);
    plant.advanceTo(plant.nowMicros() + 2 * SECOND);
    // IEEE Std 1547-2018: over-frequency trips at 62.0 Hz; it must be past that within 2 s.
    assertTrue(plant.mainFrequencyHz() > 62, plant.mainFrequencyHz() + " Hz");
    plant.setTieClosed(false);
    plant.solve();
    assertEquals(0, plant.criticalVoltagePu(), 0.0);
    plant.setTieClosed(true);
    plant.solve();
    assertEquals(0, plant.criticalVoltagePu(), 0.0, "a dead island has nothing to follow");
  }

  @Test
  void anUnmatchedIslandLandsFarFromNominalVoltage() {
    Plant plant = tied(withLoads(3000, 1000, 1));
    plant.setInverterFollowing(40, 0, 45, 1200);
    plant.solve();
    plant.setUtility(false, 0, 60);
    plant.solve();
    // 1200 W into 4000 W of site and 800 W of line, all impedances: the root of a quarter.
    assertEquals(0.5, plant.criticalVoltagePu(), 0.001);
  }

  @Test
  void twoSourcesOnOneBusAreFlaggedAndTheirCurrentGrowsWithTheAngle() {
    Plant plant = DemoPlants.dark(0.8);
    plant.setUtility(true, 1, 60);
    plant.setInverterForming(60);
    plant.solve();
    plant.setTieClosed(true);
    plant.addUtilityPhaseDeg(-20);
    plant.solve();
    assertTrue(plant.twoSources());
    // 2·V·sin(δ/2) across the inverter's 0.1 pu (1.152 Ω) and the service's 0.02 Ω.
    assertEquals(0.347296 * 240 / 1.172, plant.circulatingA(), 1e-3);
    assertTrue(plant.inverterPowerW() > 0);
    plant.addUtilityPhaseDeg(110);
    plant.solve();
    assertTrue(plant.inverterPowerW() < 0, "the utility now drives the inverter backwards");
    plant.advanceTo(plant.nowMicros() + 2 * SECOND);
  }

  @Test
  void theAngleAcrossTheTieTurnsWithTheFrequencyDifference() {
    Plant plant = DemoPlants.dark(0.8);
    plant.setUtility(true, 1, 60);
    plant.setInverterForming(60.1);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 2 * SECOND);
    // 0.1 Hz for 2 s is a fifth of a turn.
    assertEquals(72, plant.angleDeg(), 1e-6);
    plant.addUtilityPhaseDeg(52);
    assertEquals(20, plant.angleDeg(), 1e-6);
    plant.setIslandVoltage(plant.mainVoltagePu());
    plant.solve();
    assertEquals(0.347296 * plant.mainVoltagePu(), plant.tieVoltagePu(), 1e-6);
  }

  @Test
  void aTransferFromFollowingToFormingKeepsTheAngle() {
    Plant plant = tied(DemoPlants.dark(0.8));
    plant.setUtility(true, 1, 60.03);
    plant.setInverterFollowing(40, 0, 60, 0);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 5 * SECOND);
    plant.setTieClosed(false);
    plant.setInverterForming(60.03);
    plant.solve();
    assertEquals(0, plant.angleDeg(), 1e-6);
    assertEquals(60.03, plant.criticalFrequencyHz(), 1e-9);
  }

  @Test
  void theServiceDropIsOhmsLaw() {
    Plant plant = tied(withLoads(0, 4_800, 1));
    // 12 Ω behind 0.03 + j0.02 Ω.
    assertEquals(12 / Math.hypot(12.03, 0.02), plant.mainVoltagePu(), 1e-9);
  }

  @Test
  void anOpenedCircuitIsUnservedAndTakesNothing() {
    Plant plant = tied(DemoPlants.dark(0.8));
    plant.setCircuitClosed(0, false);
    plant.solve();
    assertEquals(0, plant.circuitPowerW(0), 0.0);
    assertEquals(300, plant.unservedCriticalW(), 1e-9);
    assertFalse(plant.circuitClosed(0));
  }

  @Test
  void loadsJumpAtTheInstantTheirProfileSaysWhateverTheStep() {
    List<CircuitSpec> circuits =
        List.of(
            new CircuitSpec(
                "refrigerator",
                Panel.NONCRITICAL,
                new RefrigeratorLoad(180, 0.505, 0.505, 0),
                1,
                0,
                0,
                1));
    Plant plant =
        tied(
            new Plant(
                DemoPlants.spec(0.8, circuits),
                new ConstantWeather(0, 0, 0, 20, 0),
                DemoPlants.SUMMER_NOON));
    double pu = plant.mainVoltagePu();
    long jump = plant.nextDiscontinuityMicros();
    plant.advanceTo(jump - 1);
    boolean before = plant.noncriticalPowerW() > 0;
    plant.advanceTo(jump);
    assertEquals(!before, plant.noncriticalPowerW() > 0);
    assertTrue(pu > 0.99);
  }

  @Test
  void timeCannotGoBack() {
    Plant plant = DemoPlants.dark(0.5);
    assertThrows(IllegalArgumentException.class, () -> plant.advanceTo(plant.nowMicros() - 1));
  }

  @Test
  void anInverterForAnotherBankVoltageIsRefused() {
    PlantSpec good = DemoPlants.spec(0.5);
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () ->
                new PlantSpec(
                    good.place(),
                    good.pv(),
                    good.regulator(),
                    LeadAcidSpec.flooded(12, 400),
                    0.5,
                    0.002,
                    good.inverter(),
                    good.utility(),
                    good.circuits()));
    assertTrue(refused.toString().contains("nominal voltage"));
  }
}
