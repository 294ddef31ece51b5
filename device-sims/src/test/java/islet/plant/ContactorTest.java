package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Judged by Kirchhoff's current law and by the books, which throw. */
class ContactorTest {
  private static final long MINUTE = 60_000_000L;

  static List<BatterySpec> banks() {
    return List.of(LeadAcidSpec.flooded(24, 400), LfpSpec.prismatic(16, 400));
  }

  private static Plant plant(BatterySpec bank, double soc, double sun) {
    return new Plant(
        DemoPlants.with(bank, soc),
        new ConstantWeather(sun, 0, sun, 20, 2),
        DemoPlants.SUMMER_NOON);
  }

  private static Plant islanded(BatterySpec bank, double soc, double sun) {
    Plant plant = plant(bank, soc, sun);
    plant.setRegulator(true, 54, 80);
    plant.setInverterForming(60);
    plant.solve();
    return plant;
  }

  private static void minutes(Plant plant, int count) {
    plant.advanceTo(plant.nowMicros() + count * MINUTE);
  }

  @ParameterizedTest
  @MethodSource("banks")
  void theArrayCarriesTheLoadsAloneAtTheRegulatorsVoltage(BatterySpec bank) {
    Plant plant = islanded(bank, 0.5, 800);
    plant.setBatteryContactor(Contactor.OPEN);
    plant.solve();
    assertEquals(0, plant.batteryCurrentA(), 1e-9);
    assertEquals(54, plant.busVoltageV(), 0.2);
    assertEquals(1, plant.criticalVoltagePu(), 1e-9);
    assertTrue(plant.pvPowerW() > plant.criticalPowerW());
    minutes(plant, 60);
    assertEquals(54, plant.busVoltageV(), 0.2);
  }

  @ParameterizedTest
  @MethodSource("banks")
  void withoutSunTheBusIsDeadAndTheBatteryRests(BatterySpec bank) {
    Plant plant = islanded(bank, 0.5, 0);
    plant.setBatteryContactor(Contactor.OPEN);
    plant.solve();
    assertEquals(0, plant.busVoltageV(), 1e-9);
    assertEquals(0, plant.criticalPowerW(), 1e-6);
    minutes(plant, 10);
    assertTrue(plant.batteryTerminalV() > 46, "battery at " + plant.batteryTerminalV());
    plant.setBatteryContactor(Contactor.CLOSED);
    plant.solve();
    assertEquals(1, plant.criticalVoltagePu(), 1e-9);
  }

  /** 60 W/m² on 4 kW of modules give less than the 300 W of lights take. */
  @ParameterizedTest
  @MethodSource("banks")
  void withTooLittleSunTheBusBrownsOut(BatterySpec bank) {
    Plant plant = islanded(bank, 0.5, 60);
    plant.setBatteryContactor(Contactor.OPEN);
    plant.solve();
    assertTrue(plant.busVoltageV() > 1 && plant.busVoltageV() < 42, plant.busVoltageV() + " V");
    assertTrue(plant.criticalVoltagePu() < 1);
    minutes(plant, 5);
  }

  @ParameterizedTest
  @MethodSource("banks")
  void aDischargeOnlyPathGivesWhenTheSunDoesNotAndNeverTakes(BatterySpec bank) {
    Plant plant = islanded(bank, 0.5, 0);
    plant.setBatteryContactor(Contactor.DISCHARGE_ONLY);
    plant.solve();
    assertTrue(plant.batteryCurrentA() < -5);
    assertEquals(1, plant.criticalVoltagePu(), 1e-9);
    Plant sunny = islanded(bank, 0.5, 800);
    sunny.setBatteryContactor(Contactor.DISCHARGE_ONLY);
    sunny.solve();
    assertEquals(0, sunny.batteryCurrentA(), 1e-9);
    assertTrue(sunny.busVoltageV() > sunny.batteryTerminalV() + 1);
    minutes(sunny, 60);
    assertEquals(0, sunny.ledger().chargeInC(), 1e-6);
  }

  /** Between the two: the sun gives a part, the battery the rest. */
  @ParameterizedTest
  @MethodSource("banks")
  void aDischargeOnlyPathAddsWhatTheSunLacks(BatterySpec bank) {
    Plant plant = islanded(bank, 0.5, 60);
    plant.setBatteryContactor(Contactor.DISCHARGE_ONLY);
    plant.solve();
    assertTrue(plant.batteryCurrentA() < -1 && plant.regulatorCurrentA() > 1);
    assertEquals(1, plant.criticalVoltagePu(), 1e-9);
  }

  @ParameterizedTest
  @MethodSource("banks")
  void theBooksBalanceInEveryPosition(BatterySpec bank) {
    for (Contactor position : Contactor.values()) {
      Plant plant = plant(bank, 0.7, 500);
      plant.setUtility(true, 1.01, 60);
      plant.setTieClosed(true);
      plant.setBatteryContactor(position);
      plant.setRegulator(true, 55, 60);
      plant.setInverterFollowing(53, 40, 54.5, 3000);
      plant.solve();
      minutes(plant, 30);
      plant.setTieClosed(false);
      plant.setInverterForming(60);
      plant.solve();
      minutes(plant, 30);
      plant.setShade(0.02);
      plant.solve();
      minutes(plant, 30);
      // Two sources meet: with nobody to take a charge the inverter can only block.
      plant.setShade(0);
      plant.setTieClosed(true);
      plant.addUtilityPhaseDeg(90);
      plant.solve();
      minutes(plant, 2);
      double change = plant.storedJ() - plant.ledger().joules(Flow.STORED_CHANGE);
      assertEquals(plant(bank, 0.7, 500).storedJ(), change, 1.0);
      if (position == Contactor.OPEN) {
        assertEquals(0, plant.ledger().chargeInC() + plant.ledger().chargeOutC(), 1e-3);
      } else {
        assertTrue(plant.ledger().chargeOutC() > 1000);
      }
    }
  }

  @Test
  void anUnloadedBusFloatsAtTheSetVoltageAndDiesWithItsSource() {
    Plant plant = plant(LfpSpec.prismatic(16, 400), 0.5, 800);
    plant.setRegulator(true, 55.5, 80);
    plant.setBatteryContactor(Contactor.OPEN);
    plant.solve();
    assertEquals(55.5, plant.busVoltageV(), 1e-6);
    plant.setRegulator(false, 55.5, 80);
    plant.solve();
    assertEquals(0, plant.busVoltageV());
  }
}
