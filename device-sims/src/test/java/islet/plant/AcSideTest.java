package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Judged by circuit laws worked out by hand: service 0.03 + j0.02 Ω, 240 V, 60 Hz. */
class AcSideTest {
  private static final long SECOND = 1_000_000L;
  private static final double SERVICE_OHM = Math.hypot(0.03, 0.02);

  private static Plant with(CircuitSpec... circuits) {
    return new Plant(
        DemoPlants.spec(0.98, List.of(circuits)),
        new ConstantWeather(0, 0, 0, 20, 0),
        DemoPlants.SUMMER_NOON);
  }

  private static Plant withCritical(double watts, double z, double i, double p, double pf) {
    return with(new CircuitSpec("load", Panel.CRITICAL, new ConstantLoad(watts), z, i, p, pf));
  }

  @Test
  void aLaggingLoadDropsTheVoltageOfADivider() {
    Plant plant = withCritical(4_800, 1, 0, 0, 0.8);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.solve();
    // 240² / (4800 − j3600) = 7.68 + j5.76 Ω.
    double expected = Math.hypot(7.68, 5.76) / Math.hypot(7.71, 5.78);
    assertEquals(expected, plant.criticalVoltagePu(), 1e-9);
    // What is lost in between is I²R.
    double amperes = 240 / Math.hypot(7.71, 5.78);
    plant.advanceTo(plant.nowMicros() + SECOND);
    assertEquals(amperes * amperes * 0.03, plant.ledger().joules(Flow.SERVICE_LOSS), 1e-6);
  }

  @Test
  void theThreeSharesOfALoadTakeTheSquareTheVoltageAndNothingOfATenthLess() {
    Plant plant = withCritical(1_000, 0.4, 0.3, 0.3, 1);
    plant.setInverterForming(60);
    plant.setIslandVoltage(0.9);
    plant.solve();
    assertEquals(400 * 0.81 + 300 * 0.9 + 300, plant.criticalPowerW(), 1e-9);
  }

  @Test
  void aTenthOfAHertzIsAWholeTurnInTenSeconds() {
    Plant plant = withCritical(300, 1, 0, 0, 1);
    plant.setUtility(true, 1, 60);
    plant.setInverterForming(60.1);
    plant.solve();
    long start = plant.nowMicros();
    double[] quarters = {90, -180, -90, 0};
    for (int i = 0; i < 4; i++) {
      plant.advanceTo(start + (i + 1) * 2_500_000L);
      double apart = Math.abs(plant.angleDeg() - quarters[i]);
      assertEquals(0, Math.min(apart, 360 - apart), 1e-6);
    }
  }

  @Test
  void aSourceAtZeroVoltsIsAShortAndNotAnOpenLine() {
    Plant plant = withCritical(500, 0, 0, 1, 0.9);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.setInverterFollowing(40, 0, 45, 2000);
    plant.solve();
    assertTrue(plant.inverterPowerW() > 1_000);
    plant.setUtility(true, 0, 60);
    plant.solve();
    assertEquals(0, plant.criticalVoltagePu(), 0.0);
    assertEquals(0, plant.mainVoltagePu(), 0.0);
    assertEquals(0, plant.inverterPowerW(), 0.0, "there is nothing to follow");
    plant.advanceTo(plant.nowMicros() + SECOND);
    plant.setUtility(true, 0.05, 60);
    plant.solve();
    // At so little voltage a load of constant power is an impedance: 500 W at 0.7 pu.
    double loadOhm = 240 * 240 * 0.49 / 500 * 0.9;
    assertEquals(0.05, plant.mainVoltagePu(), 0.05 * SERVICE_OHM / loadOhm);
    assertTrue(plant.mainVoltagePu() < 0.05);
  }

  @Test
  void aFormingInverterBehindAClosedTieFeedsAShortWithItsSurgeCurrentOnly() {
    Plant plant = withCritical(500, 1, 0, 0, 1);
    plant.setUtility(true, 0, 60);
    plant.setTieClosed(true);
    plant.setInverterForming(60);
    plant.solve();
    assertFalse(plant.twoSources(), "a short is no source");
    double amperes = DemoPlants.INVERTER.surgeW() / 240;
    // The load's 115.2 Ω take next to nothing.
    assertEquals(amperes * SERVICE_OHM, plant.criticalVoltagePu() * 240, 1e-3 * SERVICE_OHM * 41);
    assertEquals(amperes * amperes * 0.03, -plant.pccPowerW(), 0.1);
    assertEquals(DemoPlants.INVERTER.surgeW(), plant.inverterLoadVa(), 1e-6);
    plant.advanceTo(plant.nowMicros() + SECOND);
    plant.setTieClosed(false);
    plant.solve();
    assertEquals(1, plant.criticalVoltagePu(), 0.0);
  }

  @Test
  void theCurrentLimitCountsVarsAsWell() {
    Plant plant = withCritical(9_000, 1, 0, 0, 0.6);
    plant.setInverterForming(60);
    plant.solve();
    // 15 kVA of impedance on 10 kVA of current: two thirds of the voltage, 4/9 of the power.
    assertEquals(2 / 3.0, plant.criticalVoltagePu(), 1e-9);
    assertEquals(4_000, plant.inverterPowerW(), 1e-6);
    assertEquals(10_000, plant.inverterLoadVa(), 1e-6);
  }

  @Test
  void aLoadOfConstantPowerBeyondTheLimitPullsTheVoltageDown() {
    ZipLoad load = new ZipLoad();
    load.add(new CircuitSpec("office", Panel.CRITICAL, new ConstantLoad(1), 0, 0, 1, 1), 12_000, 0);
    // The lower the voltage the more current it takes; below 0.7 pu it is 12 kW / 0.49.
    assertEquals(10_000 * 0.49 / 12_000, load.voltageAtCurrent(10_000, 1), 1e-9);
    assertEquals(1, load.voltageAtCurrent(12_000, 1), 0.0);
  }

  @Test
  void ofTwoPossibleVoltagesTheHigherOneStands() {
    ZipLoad load = new ZipLoad();
    load.add(
        new CircuitSpec("mixed", Panel.CRITICAL, new ConstantLoad(1), 0.5, 0, 0.5, 1), 10_000, 0);
    // 5 u + 5/u = 10.2 has the roots 0.819 and 1.221.
    assertEquals(1.0198 - Math.sqrt(1.0198 * 1.0198 - 1), 0.8198, 1e-3);
    double pu = load.voltageAtCurrent(10_200, 1.3);
    assertEquals(1.02 + Math.sqrt(1.02 * 1.02 - 1), pu, 1e-9);
  }

  /** The operating point doesn't move when the source gives way to a load that takes the same. */
  @Test
  void aMatchedLineLoadKeepsVoltageAndFrequencyAtTheInstantOfTheOutage() {
    Plant plant = withCritical(500, 0, 0, 1, 0.9);
    plant.setUtility(true, 1.02, 60);
    plant.setTieClosed(true);
    plant.setInverterFollowing(40, 0, 45, 3000);
    plant.solve();
    double pu = plant.criticalVoltagePu();
    double meter = plant.pccPowerW();
    LineLoad load = plant.matchingLineLoad(1, 1, 0);
    plant.setLineLoad(load);
    plant.setUtility(false, 1.02, 60);
    plant.solve();
    assertEquals(pu, plant.criticalVoltagePu(), 1e-6);
    assertEquals(meter, plant.pccPowerW(), 0.01);
    assertEquals(60, plant.mainFrequencyHz(), 1e-9);
    // The quality factor is that of the load as its inductance has it.
    assertEquals(load.watts(), load.inductiveVar(), 1e-9);
  }

  @Test
  void aSiteThatTakesPowerLeavesNothingToMatch() {
    Plant plant = withCritical(500, 0, 0, 1, 0.9);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.solve();
    assertEquals(new LineLoad(0, 0, 0), plant.matchingLineLoad(1, 1, 0));
  }
}
