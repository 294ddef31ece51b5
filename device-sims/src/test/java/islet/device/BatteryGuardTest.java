package islet.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.plant.CircuitSpec;
import islet.plant.ConstantLoad;
import islet.plant.ConstantWeather;
import islet.plant.Contactor;
import islet.plant.Efficiency;
import islet.plant.InverterSpec;
import islet.plant.LfpSpec;
import islet.plant.ModuleSpec;
import islet.plant.Panel;
import islet.plant.Place;
import islet.plant.Plant;
import islet.plant.PlantSpec;
import islet.plant.PvSpec;
import islet.plant.RegulatorSpec;
import islet.plant.UtilitySpec;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * The management unit by itself on a plant whose chargers and loads heed nobody. Judged by the
 * limits of such cells (common practice: 2.5 to 3.65 V, no charge below 0 °C) and by the plant's
 * books, which throw.
 */
class BatteryGuardTest {
  private static final int CELLS = 16;
  private static final Efficiency EFFICIENCY = new Efficiency(0.92, 0.95, 0.93);
  private static final long START = 1_782_928_800_000_000L; // a summer noon at UTC-6
  private static final double LOAD_W = 2000;

  private Plant plant = plant(0.5);
  private BatteryGuard guard = guard(plant);

  private static Plant plant(double soc) {
    PlantSpec spec =
        new PlantSpec(
            new Place(42, -88, 180, 0.2),
            new PvSpec(
                new ModuleSpec(8.21, 32.9, 7.61, 26.3, 54, 0.0032, -0.123, 47), 4, 6, 35, 180),
            new RegulatorSpec(90, EFFICIENCY, 4, 0.001, 0.001),
            LfpSpec.prismatic(CELLS, 100),
            soc,
            0.003,
            new InverterSpec(4000, 8000, 5, EFFICIENCY, 25, 60, 38, 66, 0.001, 0.001, 0.1, 3, 1),
            new UtilitySpec(240, 60, 0.03, 0.02, 800),
            List.of(new CircuitSpec("load", Panel.CRITICAL, new ConstantLoad(LOAD_W), 0, 0, 1, 1)));
    Plant plant = new Plant(spec, new ConstantWeather(900, 0, 900, 20, 2), START);
    plant.setShade(0);
    plant.solve();
    return plant;
  }

  private static BatteryGuard guard(Plant plant) {
    return new BatteryGuard(
        plant,
        new BatteryGuardSettings(CELLS, 3.65, 2.5, 60, 60, 60, 0, 45),
        new Surroundings() {
          @Override
          public long now() {
            return plant.nowMicros();
          }

          @Override
          public void stir() {}

          @Override
          public void note(String source, String kind, String from, String to, String reason) {}
        });
  }

  private void begin(double soc) {
    plant = plant(soc);
    guard = guard(plant);
  }

  /** As the bench does: at each change, at each second, and when the unit wants to look. */
  private void seconds(double seconds) {
    look();
    long end = plant.nowMicros() + Math.round(seconds * 1e6);
    while (plant.nowMicros() < end) {
      long next = Math.min(plant.nowMicros() + 1_000_000, guard.wake(plant.nowMicros()));
      plant.advanceTo(Math.min(end, next));
      look();
    }
  }

  private void look() {
    plant.solve();
    while (guard.run(plant.nowMicros())) {
      plant.solve();
    }
  }

  private void charge(double volts, double amps) {
    plant.setShade(1);
    plant.setRegulator(true, volts, amps);
  }

  private void stopCharging() {
    plant.setRegulator(false, 0, 0);
  }

  private double cellV() {
    return plant.batteryTerminalV() / CELLS;
  }

  @Test
  void aChargerThatKnowsNoEndIsCutOffAtTheCellsLimit() {
    begin(0.97);
    charge(64, 40);
    double highest = 0;
    for (int i = 0; i < 3600 && plant.batteryContactor() == Contactor.CLOSED; i++) {
      seconds(1);
      highest = Math.max(highest, cellV());
    }
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    assertTrue(highest >= 3.65 && highest < 3.70, highest + " V");
    assertEquals(64, plant.busVoltageV(), 0.1);
    double stored = plant.storedJ();
    seconds(600);
    // It does not close onto a bus above the cells' limit, and the cells take nothing.
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    assertTrue(plant.storedJ() <= stored);

    stopCharging();
    seconds(62);
    assertEquals(Contactor.DISCHARGE_ONLY, plant.batteryContactor());
    charge(57, 40);
    seconds(60);
    assertEquals(0, plant.batteryCurrentA(), 1e-9);
    stopCharging();
    plant.setInverterForming(60);
    seconds(600);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
  }

  @Test
  void anEmptyBankIsTakenOffAndComesBackWithACharger() {
    begin(0.05);
    plant.setInverterForming(60);
    for (int i = 0; i < 3600 && plant.batteryContactor() == Contactor.CLOSED; i++) {
      seconds(1);
    }
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    assertEquals(0, plant.criticalVoltagePu(), 1e-6);
    seconds(3600);
    assertEquals(Contactor.OPEN, plant.batteryContactor());

    plant.setInverterOff();
    charge(54, 40);
    seconds(3);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
    assertEquals(40, plant.batteryCurrentA(), 0.5);
    seconds(60);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
  }

  @Test
  void tooMuchCurrentEitherWayIsBorneForFiveSecondsOnly() {
    charge(57, 80);
    seconds(4.9);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
    assertTrue(plant.batteryCurrentA() > 60);
    seconds(0.2);
    assertEquals(Contactor.OPEN, plant.batteryContactor());

    begin(0.5);
    plant.setInverterForming(60);
    plant.setIslandVoltage(1);
    seconds(30);
    // 2 kW are 42 A: within what it bears for good.
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
    plant.setInverterOff();
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.setInverterFollowing(40, 0, 40, 4000);
    seconds(4.9);
    assertTrue(plant.batteryCurrentA() < -60, plant.batteryCurrentA() + " A");
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
    seconds(0.2);
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    plant.setInverterOff();
    seconds(61);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
  }

  @Test
  void inFrostItGivesAndDoesNotTake() {
    plant.setBatteryTemperature(-5);
    charge(57, 40);
    seconds(60);
    assertEquals(Contactor.DISCHARGE_ONLY, plant.batteryContactor());
    assertEquals(0, plant.ledger().chargeInC());
    stopCharging();
    plant.setInverterForming(60);
    seconds(1);
    assertTrue(plant.batteryCurrentA() < -30);
    assertEquals(1, plant.criticalVoltagePu(), 1e-9);
    plant.setBatteryTemperature(1);
    seconds(1);
    assertEquals(Contactor.DISCHARGE_ONLY, plant.batteryContactor());
    plant.setBatteryTemperature(2.5);
    seconds(1);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
  }

  @Test
  void hotCellsAreNotChargedAndHotterOnesDoNothing() {
    plant.setBatteryTemperature(46);
    seconds(1);
    assertEquals(Contactor.DISCHARGE_ONLY, plant.batteryContactor());
    plant.setBatteryTemperature(61);
    seconds(3);
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    plant.setBatteryTemperature(55);
    seconds(120);
    assertEquals(Contactor.OPEN, plant.batteryContactor());
    plant.setBatteryTemperature(42);
    seconds(61);
    assertEquals(Contactor.CLOSED, plant.batteryContactor());
  }
}
