package islet.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.InverterOrder;
import islet.contract.InverterState;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Judged by the curve's own points, by straight lines between them on double logarithmic paper, and
 * on the plant by the demo site's file with more points put in.
 */
class OverloadTest {
  private static final long SECOND = 1_000_000L;

  private static final SurgeCurve CURVE =
      new SurgeCurve(
          List.of(
              new SurgeCurve.Point(8_000, 5),
              new SurgeCurve.Point(6_000, 60),
              new SurgeCurve.Point(5_000, 1_800)));

  @Test
  void theCurveGoesThroughItsPointsAndStraightBetweenThem() {
    assertEquals(5, CURVE.seconds(8_000), 1e-12);
    assertEquals(60, CURVE.seconds(6_000), 1e-12);
    assertEquals(1_800, CURVE.seconds(5_000), 1e-9);
    // Halfway on both logarithmic scales: geometric means.
    assertEquals(Math.sqrt(5 * 60), CURVE.seconds(Math.sqrt(8_000.0 * 6_000)), 1e-9);
    assertEquals(5, CURVE.seconds(20_000), 0.0);
    assertEquals(1_800, CURVE.seconds(4_200), 0.0);
  }

  private static double seconds(long micros) {
    return micros / 1e6;
  }

  @Test
  void halfATimeOfOneLoadAndHalfATimeOfAnotherSpendTheWhole() {
    OverloadBudget budget = new OverloadBudget(CURVE, 4_000, 0);
    assertFalse(budget.spent(8_000, 4_000, 0));
    assertEquals(5, seconds(budget.spentAt()), 1e-6);
    assertFalse(budget.spent(6_000, 4_000, 2_500_000));
    assertEquals(32.5, seconds(budget.spentAt()), 1e-6);
    assertFalse(budget.spent(6_000, 4_000, 32_400_000));
    assertTrue(budget.spent(6_000, 4_000, 32_500_000));
  }

  @Test
  void timeBelowTheRatingGivesTheBudgetBack() {
    OverloadBudget budget = new OverloadBudget(CURVE, 4_000, 0);
    assertFalse(budget.spent(8_000, 4_000, 0));
    assertFalse(budget.spent(1_000, 4_000, 4 * SECOND));
    assertEquals(SimulatedDevice.NEVER, budget.spentAt());
    // Four fifths are spent; a minute gives the whole back, twelve seconds a fifth.
    assertFalse(budget.spent(8_000, 4_000, 16 * SECOND));
    assertEquals(18, seconds(budget.spentAt()), 1e-6);
  }

  @Test
  void aHotInverterBearsLess() {
    OverloadBudget budget = new OverloadBudget(CURVE, 4_000, 0);
    assertFalse(budget.spent(4_000, 2_000, 0));
    assertEquals(5, seconds(budget.spentAt()), 1e-6, "twice its rating, as 8 kW when cool");
    OverloadBudget gone = new OverloadBudget(CURVE, 4_000, 0);
    assertFalse(gone.spent(100, 0, 0));
    assertEquals(5, seconds(gone.spentAt()), 1e-6);
  }

  private static Workbench island(String... settings) {
    Workbench bench = new Workbench(0.85, true, 0, settings);
    bench.inverter(InverterOrder.FOLLOW, true);
    bench.utility(0, 60);
    bench.seconds(0.1);
    assertEquals(InverterState.FORMING, bench.devices.inverter().inverterState());
    return bench;
  }

  @Test
  void aModerateOverloadIsBorneAsLongAsItsPointSays() {
    Workbench bench =
        island(
            "inverter.surge",
            "[{ power: 6 kW, for: 60 s }]",
            "circuits.radio.load",
            "{ constant: 5 kW }");
    bench.seconds(59);
    assertEquals(InverterState.FORMING, bench.devices.inverter().inverterState());
    bench.seconds(2);
    assertEquals(InverterState.FAULT, bench.devices.inverter().inverterState());
  }

  private static String[] smallInverter(String startFor) {
    return new String[] {
      "inverter.ratedPower",
      "1200 W",
      "inverter.surgePower",
      "1800 W",
      "inverter.surgeTime",
      "2 s",
      "inverter.idle",
      "5 W",
      "circuits.pump.load",
      "{ cycling: { power: 400 W, on: 20 s, off: 20 s } }",
      "circuits.pump.inrush",
      "{ factor: 5, for: " + startFor + " }",
    };
  }

  /** A start of 2.5 kVA beside some 0.4 kVA on 1.8 kVA: between 0.6 and 0.7 pu. */
  @Test
  void aShortStartOnATooSmallInverterIsASagAndALongOneATrip() {
    for (String time : new String[] {"0.4 s", "4 s"}) {
      Workbench bench = island(smallInverter(time));
      double lowest = 1;
      for (int i = 0;
          i < 5000 && bench.devices.inverter().inverterState() == InverterState.FORMING;
          i++) {
        bench.seconds(0.01);
        lowest = Math.min(lowest, bench.plant.criticalVoltagePu());
        if (bench.devices.inverter().inverterState() == InverterState.FORMING) {
          assertTrue(bench.plant.inverterLoadVa() <= 1_800.001);
        }
      }
      InverterState end = time.equals("4 s") ? InverterState.FAULT : InverterState.FORMING;
      assertEquals(end, bench.devices.inverter().inverterState(), "start of " + time);
      double least = end == InverterState.FAULT ? 0 : lowest;
      assertTrue(lowest < 0.75 && (least == 0 || least > 0.5), lowest + " pu");
    }
  }

  @Test
  void inAHotRoomALoadThatIsRatedElsewhereTripsIt() {
    // 95 degC at full load in this room: nothing of the rating is left.
    Workbench bench =
        island(
            "circuits.radio.load",
            "{ constant: 3.5 kW }",
            "inverter.thermal",
            "{ rise: 80 K, timeConstant: 5 min, derateFrom: 60 degC, derateTo: 90 degC }");
    assertEquals(InverterState.FORMING, bench.devices.inverter().inverterState());
    bench.seconds(1800);
    assertEquals(InverterState.FAULT, bench.devices.inverter().inverterState());
  }
}
