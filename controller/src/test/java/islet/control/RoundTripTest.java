package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import org.junit.jupiter.api.Test;

/**
 * The round trip of the demo site (400 Ah at 48 V, 19.2 kWh; cells store 0.97 of the charge below
 * full), judged by energies worked out by hand.
 */
class RoundTripTest {

  private static final long SECOND = 1_000_000;

  private final RoundTrip trip = new RoundTrip(Sites.demo());
  private final Inputs in = new Inputs();
  private final Belief belief = new Belief();
  private long now = FakeSite.START;

  /** Hours at a battery current and voltage, with what the inverter tells of both its sides. */
  private void hours(double hours, double amps, double volts, double acW, InverterState state) {
    belief.currentA = amps;
    belief.voltageV = volts;
    for (long end = now + Math.round(hours * 3600 * SECOND); now < end; ) {
      now += SECOND;
      in.take(
          new InverterTelemetry(
              0, now, volts, amps, acW, 1, 60, state, InverterTrip.NONE, false, false),
          now);
      trip.measure(in, belief, now);
    }
  }

  @Test
  void untilItIsMeasuredTheStatedFigureHolds() {
    assertEquals(0.70, trip.share(), 1e-12);
    assertEquals(0.92, trip.rectifiedShare(), 1e-12);
    assertEquals(0.92, trip.invertedShare(), 1e-12);
    assertEquals(0.70 / (0.92 * 0.92), trip.storedShare(), 1e-12);
    hours(1, 50, 54, -3000, InverterState.FOLLOWING);
    assertEquals(0.70, trip.share(), 1e-12, "one way alone is no round trip");
  }

  /**
   * Five hours of 50 A at 54 V from 3000 W, then five of -50 A at 48 V into 2160 W: each way a
   * converter of 0.9, and cells of 0.97 · 48 / 54. Of the 12 kWh of the smaller energy (13.5 kWh in
   * at DC, 10.8 kWh out at AC, 12 kWh out of the cells) the least, 10.8, weighs against 19.2.
   */
  @Test
  void whatIsMeasuredWeighsAgainstOneCapacity() {
    hours(5, 50, 54, -3000, InverterState.FOLLOWING);
    hours(5, -50, 48, 2160, InverterState.FOLLOWING);
    double measured = 0.9 * 0.9 * 0.97 * 48 / 54;
    double weight = 10.8 / (10.8 + 19.2);
    assertEquals(0.70 + weight * (measured - 0.70), trip.share(), 1e-3);
    double in = 15.0 / (15.0 + 19.2);
    assertEquals(0.92 + in * (0.9 - 0.92), trip.rectifiedShare(), 1e-4);
    double out = 12.0 / (12.0 + 19.2);
    assertEquals(0.92 + out * (0.9 - 0.92), trip.invertedShare(), 1e-4);
  }

  @Test
  void anIslandTellsNothingOfTheWayThroughTheUtility() {
    hours(5, 50, 54, -3000, InverterState.FOLLOWING);
    hours(5, -50, 48, 2160, InverterState.FORMING);
    assertEquals(0.70, trip.share(), 1e-12);
  }

  @Test
  void aDoubtfulCurrentAndAGapAreNotCounted() {
    belief.currentSure = false;
    hours(5, 50, 54, -3000, InverterState.FOLLOWING);
    hours(5, -50, 48, 2160, InverterState.FOLLOWING);
    assertEquals(0.70, trip.share(), 1e-12);
    belief.currentSure = true;
    for (int i = 0; i < 20; i++) {
      now += 3_000 * SECOND;
      in.take(
          new InverterTelemetry(
              0,
              now,
              54,
              50,
              -3000,
              1,
              60,
              InverterState.FOLLOWING,
              InverterTrip.NONE,
              false,
              false),
          now);
      trip.measure(in, belief, now);
    }
    assertEquals(0.92, trip.rectifiedShare(), 1e-12, "nobody knows what passed in fifty minutes");
  }

  /** After twenty capacities what lies far back counts less: an inverter that ages is seen. */
  @Test
  void theDistantPastFades() {
    for (int day = 0; day < 30; day++) {
      hours(5, 50, 54, -3000, InverterState.FOLLOWING);
      hours(5, -50, 48, 2160, InverterState.FOLLOWING);
    }
    double before = trip.invertedShare();
    for (int day = 0; day < 30; day++) {
      hours(5, 50, 54, -3000, InverterState.FOLLOWING);
      hours(5, -50, 48, 1920, InverterState.FOLLOWING);
    }
    assertEquals(0.9, before, 0.005);
    assertEquals(0.8, trip.invertedShare(), 0.02);
  }

  /**
   * 400 A at 50 V are 20 kWh an hour; beyond twenty capacities, 384 kWh, all that was counts half.
   */
  @Test
  void whatLiesBeyondTenCapacitiesEachWayCountsHalf() {
    hours(9.6, 400, 50, -22_000, InverterState.FOLLOWING);
    hours(9.59, -400, 50, 18_000, InverterState.FOLLOWING);
    Given before = new Given();
    trip.keep(before);
    assertEquals(3840, (double) before.seen("battery in ah"), 1);
    assertEquals(192_000, (double) before.seen("battery in wh"), 50);
    assertEquals(3836, (double) before.seen("battery out ah"), 1);
    assertEquals(191_800, (double) before.seen("battery out wh"), 50);
    hours(0.02, -400, 50, 18_000, InverterState.FOLLOWING);
    Given after = new Given();
    trip.keep(after);
    for (String name :
        new String[] {
          "charge ac", "charge dc", "feed ac", "feed dc",
          "battery in ah", "battery in wh", "battery out ah", "battery out wh"
        }) {
      double half = (double) before.seen(name) / 2;
      assertEquals(half, (double) after.seen(name), 0.01 * half, name);
    }
  }

  /** Three seconds between scans count, more is a gap. */
  @Test
  void aGapIsNotCounted() {
    belief.currentA = 36;
    belief.voltageV = 50;
    for (int i = 0; i <= 100; i++) {
      now += 3 * SECOND;
      trip.measure(in, belief, now);
    }
    Given counted = new Given();
    trip.keep(counted);
    assertEquals(3, (double) counted.seen("battery in ah"), 1e-9);
    for (int i = 0; i < 100; i++) {
      now += 3 * SECOND + 1;
      trip.measure(in, belief, now);
    }
    now -= 50 * SECOND;
    trip.measure(in, belief, now);
    trip.keep(counted);
    assertEquals(3, (double) counted.seen("battery in ah"), 1e-9);
    belief.currentSure = false;
    now += SECOND;
    trip.measure(in, belief, now);
    trip.keep(counted);
    assertEquals(3, (double) counted.seen("battery in ah"), 1e-9, "nor what is not sure");
  }

  /** Standing losses one way and energy the other on the two sides prove no efficiency. */
  @Test
  void powersOfBothSidesThatContradictEachOtherAreNotCounted() {
    for (double[] sides : new double[][] {{-100, -2}, {100, 2}, {0, 2}, {0, -2}, {100, 0}}) {
      now += SECOND;
      in.take(
          new InverterTelemetry(
              0,
              now,
              50,
              sides[1],
              sides[0],
              1,
              60,
              InverterState.FOLLOWING,
              InverterTrip.NONE,
              false,
              false),
          now);
      trip.measure(in, belief, now);
    }
    Given kept = new Given();
    trip.keep(kept);
    for (String name : new String[] {"charge ac", "charge dc", "feed ac", "feed dc"}) {
      assertEquals(0.0, kept.seen(name), name);
    }
  }
}
