package islet.control.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

/** The day plan, judged by days whose optimum is worked out by hand. */
class DayPlannerTest {

  /** A store of 10 kWh that loses nothing but a tenth each way through the converter. */
  private static final Means MEANS = new Means(1, 10, 5, 5, 1, 1, 2, 3, 0.9, 0.9, 50);

  private static DayProblem problem(int intervals) {
    DayProblem p = new DayProblem(MEANS, intervals);
    Arrays.fill(p.hours, 1);
    Arrays.fill(p.importPrice, 0.20);
    p.storedKWh = 1;
    return p;
  }

  private static DayPlan solve(DayProblem p) {
    return DayPlanner.solve(p).orElseThrow();
  }

  /**
   * Cheap at 0.10, dear at 0.40, a load of 1 kW: what the dear hour takes is bought in the cheap
   * one. 1 kWh at the panels takes 1/0.9 kWh of the store, and that 1/0.81 kWh from the utility.
   */
  @Test
  void whatADearHourTakesIsBoughtInTheCheapOne() {
    DayProblem p = problem(2);
    p.importPrice[0] = 0.10;
    p.importPrice[1] = 0.40;
    Arrays.fill(p.loadKW, 1);
    DayPlan plan = solve(p);
    assertEquals(1 / 0.81, plan.rectifyKW[0], 1e-9);
    assertEquals(1 + 1 / 0.81, plan.importKW[0], 1e-9);
    assertEquals(1, plan.invertKW[1], 1e-9);
    assertEquals(0, plan.importKW[1], 1e-9);
    assertEquals(0.10 * (1 + 1 / 0.81), plan.cost(), 1e-9);
  }

  /** A price ratio of 1.2 does not pay a round trip of 0.81, for 1 / 0.81 is 1.23; 1.3 does. */
  @Test
  void theRoundTripHasToPay() {
    DayProblem p = problem(2);
    Arrays.fill(p.loadKW, 1);
    p.importPrice[1] = 0.24;
    assertEquals(0, solve(p).rectifyKW[0], 1e-9);
    assertEquals(0.44, solve(p).cost(), 1e-9);
    p.importPrice[1] = 0.26;
    assertEquals(1 / 0.81, solve(p).rectifyKW[0], 1e-9);
  }

  /** 4 kW of sun on the DC side make 3.6 kW at the panels, of which 3 pass the inverter. */
  @Test
  void sunThatNobodyTakesIsStoredSoldAsFarAsPermittedOrLost() {
    DayProblem p = problem(1);
    p.sunKW[0] = 9.5;
    p.loadKW[0] = 1;
    p.exportPrice[0] = 0.05;
    p.exportKW[0] = 1.5;
    p.endPerKWh = 0.01;
    DayPlan plan = solve(p);
    assertEquals(2.5, plan.invertKW[0], 1e-9);
    assertEquals(1.5, plan.exportKW[0], 1e-9);
    assertEquals(5, plan.chargeKW[0], 1e-9, "as fast as the battery takes it");
    assertEquals(6, plan.storedKWh[0], 1e-9);
    assertEquals(-1.5 * 0.05 - 6 * 0.01, plan.cost(), 1e-9);
  }

  @Test
  void theReserveIsNotTradedHoweverDearTheHour() {
    DayProblem p = problem(3);
    p.storedKWh = 8;
    Arrays.fill(p.loadKW, 3);
    Arrays.fill(p.importPrice, 1);
    Arrays.fill(p.exportPrice, 1);
    Arrays.fill(p.exportKW, 10);
    Arrays.fill(p.reserveKWh, 6);
    DayPlan plan = solve(p);
    assertEquals(6, plan.storedKWh[2], 1e-9);
    assertEquals(9 - 2 * 0.9, plan.cost(), 1e-9);
  }

  /**
   * From 1 to 6 kWh at 1.8 kWh an hour takes three hours, and none of them waits for a lower price.
   */
  @Test
  void aReserveThatIsNotThereIsFilledAtOnce() {
    DayProblem p = problem(4);
    p.importPrice[3] = 0.01;
    Arrays.fill(p.reserveKWh, 6);
    DayPlan plan = solve(p);
    assertEquals(2.8, plan.storedKWh[0], 1e-9);
    assertEquals(4.6, plan.storedKWh[1], 1e-9);
    assertEquals(6, plan.storedKWh[2], 1e-9);
    assertEquals(3.2, plan.shortKWh[0], 1e-9);
  }

  /** A battery found below its floor is not sunk further, and not called impossible. */
  @Test
  void belowTheFloorThereIsStillAPlan() {
    DayProblem p = problem(2);
    p.storedKWh = 0.5;
    Arrays.fill(p.loadKW, 1);
    Arrays.fill(p.importPrice, 1);
    assertTrue(solve(p).storedKWh[0] >= 0.5 - 1e-9);
  }

  @Test
  void negativePricesBurnNothingAndNoMeterSellsWhatItBuys() {
    DayProblem p = problem(2);
    p.importPrice[0] = -0.30;
    p.importPrice[1] = 0.10;
    p.exportPrice[1] = 0.90;
    Arrays.fill(p.exportKW, 10);
    Arrays.fill(p.loadKW, 1);
    DayPlan plan = solve(p);
    for (int i = 0; i < 2; i++) {
      assertTrue(plan.importKW[i] == 0 || plan.exportKW[i] == 0);
      assertTrue(plan.importKW[i] <= 1 + 2 + 1e-9);
    }
    // 2 kW for nothing fill 1.8 kWh, which make 1.62 at the panels: 1 is used, 0.62 sold at 0.10.
    assertEquals(-0.062, plan.cost(), 1e-9);
  }

  /** Half hours: 4 kW of store give 0.8 of it, so 1 kW for half an hour takes 0.5 / 0.72 kWh. */
  @Test
  void whatTheStoreLosesOnTheWayOutIsTakenFromIt() {
    DayProblem p = new DayProblem(new Means(1, 10, 5, 5, 1, 0.8, 2, 3, 0.9, 0.9, 50), 1);
    p.hours[0] = 0.5;
    p.importPrice[0] = 1;
    p.loadKW[0] = 1;
    p.storedKWh = 8;
    DayPlan plan = solve(p);
    assertEquals(8 - 0.5 / 0.72, plan.storedKWh[0], 1e-9);
    assertEquals(1 / 0.9, plan.dischargeKW[0], 1e-9);
    assertEquals(0, plan.cost(), 1e-9);
  }

  /** Energy for nothing that would be worth 5 a kWh: it is taken until the store is full. */
  @Test
  void theStoreHoldsNoMoreThanFull() {
    DayProblem p = problem(4);
    p.storedKWh = 9;
    p.endPerKWh = 5;
    Arrays.fill(p.importPrice, 0);
    DayPlan plan = solve(p);
    assertEquals(10, plan.storedKWh[3], 1e-9);
    assertEquals(-50, plan.cost(), 1e-9);
  }

  /**
   * 9 kWh that are worth nothing here and 1 at the utility: 3 kW pass the inverter, 2 the store.
   */
  @Test
  void inverterAndBatteryGiveNoMoreThanTheyCan() {
    DayProblem p = problem(1);
    p.storedKWh = 10;
    p.importPrice[0] = 1;
    p.exportPrice[0] = 1;
    p.exportKW[0] = 40;
    assertEquals(3, solve(p).exportKW[0], 1e-9);
    DayProblem weak = new DayProblem(new Means(1, 10, 5, 2, 1, 1, 2, 3, 0.9, 0.9, 50), 1);
    weak.hours[0] = 1;
    weak.storedKWh = 10;
    weak.importPrice[0] = 1;
    weak.exportPrice[0] = 1;
    weak.exportKW[0] = 40;
    assertEquals(2, solve(weak).dischargeKW[0], 1e-9);
    assertEquals(1.8, solve(weak).exportKW[0], 1e-9);
  }

  /** Ten now against a hundredth in an hour: still nobody waits who is below the reserve. */
  @Test
  void noPriceIsDearEnoughToWaitBelowTheReserve() {
    DayProblem p = problem(2);
    p.importPrice[0] = 10;
    p.importPrice[1] = 0.01;
    Arrays.fill(p.reserveKWh, 2.8);
    assertEquals(2.8, solve(p).storedKWh[0], 1e-9);
    assertEquals(10 * 2, solve(p).cost(), 1e-9);
  }

  @Test
  void aLoadBeyondEverythingHasNoPlan() {
    DayProblem p = problem(1);
    p.loadKW[0] = 100;
    assertTrue(DayPlanner.solve(p).isEmpty());
  }

  /** Each in its place: a power may be 0, a share may be 1, and neither may be beyond. */
  @Test
  void meansThatCannotBeAreRefused() {
    double[] sound = {1, 10, 5, 5, 1, 1, 2, 3, 0.9, 0.9, 50};
    int[] powers = {0, 2, 3, 6, 7, 10};
    int[] shares = {4, 5, 8, 9};
    for (int i : powers) {
      assertEquals(0, at(with(sound, i, 0), i));
      for (double bad : new double[] {-0.001, Double.NaN, Double.POSITIVE_INFINITY}) {
        assertThrows(IllegalArgumentException.class, () -> with(sound, i, bad), i + " of " + bad);
      }
    }
    for (int i : shares) {
      assertEquals(1, at(with(sound, i, 1), i));
      for (double bad : new double[] {0, -0.1, 1.001, Double.NaN}) {
        assertThrows(IllegalArgumentException.class, () -> with(sound, i, bad), i + " of " + bad);
      }
    }
    for (double bad : new double[] {1, 0.5, Double.NaN}) {
      assertThrows(IllegalArgumentException.class, () -> with(sound, 1, bad));
    }
  }

  private static Means with(double[] sound, int place, double value) {
    double[] m = sound.clone();
    m[place] = value;
    return new Means(m[0], m[1], m[2], m[3], m[4], m[5], m[6], m[7], m[8], m[9], m[10]);
  }

  private static double at(Means m, int place) {
    return new double[] {
          m.floorKWh(),
          m.fullKWh(),
          m.chargeKW(),
          m.dischargeKW(),
          m.storedShare(),
          m.givenShare(),
          m.rectifyKW(),
          m.invertKW(),
          m.rectifiedShare(),
          m.invertedShare(),
          m.importKW()
        }
        [place];
  }
}
