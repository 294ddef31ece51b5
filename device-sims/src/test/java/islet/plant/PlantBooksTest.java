package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Judged by the conservation of energy and charge. */
class PlantBooksTest {
  private static final long HOUR = 3_600_000_000L;

  /** A day in which every flow of the plant runs: tied, exporting, islanded, backfeeding. */
  private static void eventfulDay(Plant plant) {
    plant.setUtility(true, 1.02, 60);
    plant.setTieClosed(true);
    plant.setRegulator(true, 57.6, 80);
    plant.setInverterFollowing(52, 30, 57.0, 5000);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
    plant.setTieClosed(false);
    plant.setInverterForming(60);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
    plant.setUtility(false, 0, 60);
    plant.setTieClosed(true);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
    plant.setUtility(true, 1, 60);
    plant.setInverterFollowing(58, 60, 60, 0);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
  }

  /** The same with a changeover switch and a charger of its own, through all three positions. */
  private static void eventfulDayWithChangeover(Plant plant) {
    plant.setUtility(true, 1.02, 60);
    plant.setTieClosed(true);
    plant.setRegulator(true, 57.6, 80);
    plant.setCharger(true, 57.0, 40);
    plant.setInverterForming(60);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
    plant.setBetween();
    plant.solve();
    plant.advanceTo(plant.nowMicros() + HOUR);
    plant.setTieClosed(false);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
    plant.setUtility(false, 0, 60);
    plant.setTieClosed(true);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 6 * HOUR);
  }

  private static Plant realDayWithChangeover() {
    return new Plant(
        DemoPlants.withChangeover(0.7), EpwWeather.read(DemoPlants.epw()), DemoPlants.SUMMER_NOON);
  }

  private static Plant realDay() {
    return new Plant(
        DemoPlants.spec(0.7), EpwWeather.read(DemoPlants.epw()), DemoPlants.SUMMER_NOON);
  }

  @Test
  void energyAndChargeBalanceOverADayInWhichEveryFlowRuns() {
    Plant plant = realDay();
    double before = plant.storedJ();
    eventfulDay(plant);
    Plant other = realDayWithChangeover();
    eventfulDayWithChangeover(other);
    Ledger books = plant.ledger();
    for (Flow flow : Flow.values()) {
      boolean mayBeZero =
          flow == Flow.UNSERVED_CRITICAL
              || flow == Flow.UNSERVED_NONCRITICAL
              || flow == Flow.CURTAILED;
      assertTrue(
          mayBeZero || books.joules(flow) + other.ledger().joules(flow) != 0, flow + " never ran");
    }
    assertEquals(plant.storedJ() - before, books.joules(Flow.STORED_CHANGE), 1.0);
  }

  @ParameterizedTest
  @EnumSource(
      mode = EnumSource.Mode.EXCLUDE,
      names = {"PV_AVAILABLE", "CURTAILED", "UNSERVED_CRITICAL", "UNSERVED_NONCRITICAL"})
  void aTermThatIsWrongByOnePercentIsNoticed(Flow flow) {
    Plant plant = realDay();
    plant.ledger().falsify(flow, 1.01);
    Plant other = realDayWithChangeover();
    other.ledger().falsify(flow, 1.01);
    BooksException noticed =
        assertThrows(
            BooksException.class,
            () -> {
              eventfulDay(plant);
              eventfulDayWithChangeover(other);
            });
    String message = noticed.toString();
    assertTrue(message.contains(flow.toString()), message);
  }

  @Test
  void gasChargeThatIsWrongByOnePercentIsNoticed() {
    Plant plant = realDay();
    plant.ledger().falsifyGasCharge(1.01);
    assertThrows(BooksException.class, () -> eventfulDay(plant));
  }

  /** Judged by the same night in steps of a second. */
  @Test
  void aNightInStepsOfUpToAMinuteComesToTheSame() {
    Plant fine = night(1);
    Plant coarse = night(60);
    assertTrue(fine.ledger().steps() > 10 * coarse.ledger().steps());
    assertEquals(fine.batterySoc(), coarse.batterySoc(), 1e-4);
    assertEquals(fine.batteryTerminalV(), coarse.batteryTerminalV(), 0.01);
    assertEquals(
        fine.ledger().joules(Flow.CRITICAL),
        coarse.ledger().joules(Flow.CRITICAL),
        1e-4 * fine.ledger().joules(Flow.CRITICAL));
  }

  private static Plant night(double longestStepS) {
    Plant plant = DemoPlants.dark(0.8);
    plant.setLongestStep(longestStepS);
    plant.setInverterForming(60);
    plant.solve();
    plant.advanceTo(plant.nowMicros() + 10 * HOUR);
    return plant;
  }
}
