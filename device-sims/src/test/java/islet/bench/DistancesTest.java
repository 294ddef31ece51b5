package islet.bench;

import static islet.bench.HazardsTest.micros;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.HazardsTest.Play;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.AlarmId;
import islet.contract.Device;
import islet.fault.Fault;
import islet.fault.FaultKind;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/**
 * How far every hazard is from being violated at one instant, on truth made by hand. Judged by the
 * same bounds as {@link HazardsTest}: what is left of them is worked out here by hand.
 */
class DistancesTest {

  private static Optional<Distance> distance(Play play, double seconds, String id) {
    return play.hazards.distances(micros(seconds)).get(Hazards.IDS.indexOf(id));
  }

  private static void left(
      Play play, double seconds, String id, double margin, String unit, double share) {
    Distance distance = distance(play, seconds, id).orElseThrow();
    assertEquals(margin, distance.margin(), 1e-9, distance.detail());
    assertEquals(unit, distance.unit(), distance.detail());
    assertEquals(share, distance.share(), 1e-9, distance.detail());
  }

  private static void doesNotApply(Play play, double seconds, String id) {
    assertEquals(Optional.empty(), distance(play, seconds, id));
  }

  @Test
  void onAHealthyUtilityNothingAppliesButWhatIsAlwaysAtStake() {
    Play play = new Play();
    HazardsTest.tellEverySecond(play, 1, 10);
    List<String> applying =
        Hazards.IDS.stream().filter(id -> distance(play, 10, id).isPresent()).toList();
    assertEquals(List.of(Overcharge.ID, Chatter.ID, UnpaidCharge.ID), applying);
    // 61.2 V at most, 52 V now, and 5 % of 48 V is the scale.
    left(play, 10, Overcharge.ID, 9.2, "V", 9.2 / 2.4);
    left(play, 10, Chatter.ID, 10, "1", 1);
    left(play, 10, UnpaidCharge.ID, 0.96, "kWh", 1);
  }

  @Test
  void aTimeThatRunsIsToldWhileItRunsAndThenNoMore() {
    Play play = new Play();
    play.at(100, t -> t.inverterOutW = 1000)
        .at(
            100,
            t -> {
              HazardsTest.outage(t);
              t.causedLineV = 240;
            })
        .at(101, t -> {});
    left(play, 101.4, Backfeed.ID, 0.6, "s", 0.3);
    left(play, 103, Backfeed.ID, -1, "s", -0.5);
    play.at(103, HazardsTest::island);
    doesNotApply(play, 103, Backfeed.ID);
    assertEquals(-1, play.verdict(110, Backfeed.ID).worstMargin(), 1e-9);
  }

  @Test
  void theNearestOfSeveralLimitsIsTold() {
    Play play = new Play();
    play.at(10, t -> t.inverterOutW = 1000).at(20, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1.25));
    // Beyond OV2 (0.16 s) and OV1 (13 s) at once.
    left(play, 20.04, Backfeed.ID, 0.12, "s", 0.75);
    play.at(20.1, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1.15));
    left(play, 20.5, Backfeed.ID, 12.5, "s", 12.5 / 13);
  }

  @Test
  void anOpenTieBetweenTwoLiveSidesTellsWhatAClosingNowWouldFind() {
    Play play = new Play();
    doesNotApply(play, 1, OutOfSyncClose.ID);
    play.at(10, HazardsTest::island).at(11, HazardsTest.apart(0.06, -47));
    left(play, 11, OutOfSyncClose.ID, 20 - 47, "°", -27 / 20.0);
    play.at(12, HazardsTest.apart(0.06, -5));
    left(play, 12, OutOfSyncClose.ID, 15, "°", 0.75);
    play.at(13, HazardsTest::outage);
    doesNotApply(play, 13, OutOfSyncClose.ID);
    // It never closed: whatever was told, nothing was violated.
    assertEquals(-1, play.verdict(14, OutOfSyncClose.ID).firstAtSeconds());
  }

  @Test
  void theWaitForTheUtilityCountsUpToTheDelay() {
    Play play = new Play();
    play.at(10, HazardsTest::outage).at(10.1, HazardsTest::island);
    doesNotApply(play, 50, EarlyReturn.ID);
    play.at(1000, HazardsTest::back);
    left(play, 1090, EarlyReturn.ID, 90 - 300, "s", -0.7);
    left(play, 1330, EarlyReturn.ID, 30, "s", 0.1);
    play.at(1340, t -> t.contactClosed = true);
    doesNotApply(play, 1340, EarlyReturn.ID);
    // Asking changed nothing of what is judged.
    assertEquals(40, play.verdict(1400, EarlyReturn.ID).worstMargin(), 1e-9);
  }

  @Test
  void aValueBeyondItsBoundTellsForHowLongItHasBeen() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.BATTERY_VOLTAGE, 61.7)).at(104, t -> {});
    left(play, 105, Overcharge.ID, -0.5, "V", -0.5 / 2.4);
    String detail = distance(play, 105, Overcharge.ID).orElseThrow().detail();
    assertTrue(detail.contains("beyond it for 5 s; tolerated are 10 s"), detail);
    assertTrue(play.verdict(105, Overcharge.ID).worstMargin() > 0, "it was tolerated");
  }

  @Test
  void chargingAndServingHaveTheirBoundsOnlyWhileTheyGoOn() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.BATTERY_CURRENT, 76));
    left(play, 100, Overcharge.ID, 4, "A", 0.05);
    doesNotApply(play, 100, DeepDischarge.ID);
    play.at(200, HazardsTest.discharge(0.25, 48));
    left(play, 200, DeepDischarge.ID, 0.05, "SoC", 0.5);
    play.at(300, t -> t.inverterOutW = 0);
    doesNotApply(play, 300, DeepDischarge.ID);
  }

  @Test
  void aDeadPanelCountsDownItsEnvelope() {
    Play play = new Play();
    play.at(100, HazardsTest.panel(0)).at(100.004, t -> {});
    left(play, 100.004, LostLoad.ID, 0.016, "s", 0.8);
    play.at(100.01, HazardsTest.panel(0.85));
    // Below 0.9 pu since 100 s, of which ten seconds are allowed.
    left(play, 101, LostLoad.ID, 9, "s", 0.9);
    play.at(101, HazardsTest.panel(1));
    doesNotApply(play, 101, LostLoad.ID);
  }

  @Test
  void whatLeavesTheSiteIsHeldAgainstWhatMay() {
    Play play = new Play();
    doesNotApply(play, 1, ForbiddenExport.ID);
    play.at(10, t -> t.sample.set(Signal.PCC_POWER, -4060));
    left(play, 10, ForbiddenExport.ID, 20, "W", 0.25);
  }

  @Test
  void twoSourcesAndTwoSupervisorsAreTold() {
    Play play = new Play();
    play.at(5, t -> t.twoSources = true);
    left(play, 5.005, TwoMasters.ID, 0.015, "s", 0.75);
    play.at(5.01, t -> t.twoSources = false);
    HazardsTest.obeyed(play, 10, "one", 7);
    doesNotApply(play, 11, TwoMasters.ID);
    HazardsTest.obeyed(play, 11, "two", 7);
    // "one" had force until 13.
    left(play, 12, TwoMasters.ID, -1, "s", -1 / 3.0);
    left(play, 14, TwoMasters.ID, 1, "s", 1 / 3.0);
    doesNotApply(play, 17, TwoMasters.ID);
  }

  @Test
  void aCommandWithoutItsAnswerIsToldUntilItIsOver() {
    Play play = new Play();
    play.hazards.commanded(micros(10.5), Device.TIE, "supervisor", 7, micros(10), 3);
    left(play, 11.5, StaleCommand.ID, 1.5, "s", 0.5);
    doesNotApply(play, 13.5, StaleCommand.ID);
    play.hazards.answered(
        micros(12), Device.TIE, new Ack(1, micros(12), 7, AckResult.REFUSED, "locked"));
    doesNotApply(play, 12, StaleCommand.ID);
  }

  @Test
  void aWrongPictureCountsUntilAnAlarmCastsDoubtOnIt() {
    Play play = new Play();
    play.at(10, HazardsTest::outage).at(10, HazardsTest::island);
    HazardsTest.tellEverySecond(play, 11, 13);
    left(play, 12.5, WrongPicture.ID, 0.5, "s", 0.25);
    play.alarm(12.5, AlarmId.TIE_DOUBTFUL);
    doesNotApply(play, 12.6, WrongPicture.ID);
  }

  @Test
  void whatHasHappenedInTheLastHourIsCountedAndThenForgotten() {
    Play play = new Play();
    for (int i = 1; i <= 4; i++) {
      boolean closed = i % 2 == 0;
      play.at(300 * i, t -> t.contactClosed = closed);
    }
    play.at(1201, t -> {});
    left(play, 1201, Chatter.ID, 6, "1", 0.6);
    left(play, 300 + 3600.5, Chatter.ID, 7, "1", 0.7);
  }

  @Test
  void anAlarmThatIsOwedCountsDown() {
    Play play = new Play();
    play.at(1, t -> t.sample.set(Signal.BUS_VOLTAGE, 52));
    HazardsTest.tellEverySecond(play, 1, 10);
    Fault dead = new Fault(FaultKind.SENSOR_DROPOUT, "regulator", "bus.voltage_V", Map.of(), "", 1);
    play.hazards.injected(micros(10), dead, true);
    HazardsTest.tellEverySecond(play, 10, 20);
    double within = FaultKind.SENSOR_DROPOUT.owed().withinS();
    left(play, 20, SilentFault.ID, within - 10, "s", (within - 10) / within);
    play.alarm(20, AlarmId.SENSORS_DISAGREE);
    doesNotApply(play, 20, SilentFault.ID);
  }

  @Test
  void unpaidEnergyIsTheSumOfTheLastDay() {
    Play play = new Play();
    play.at(10, HazardsTest.charging(3000, 0.8));
    HazardsTest.tellEverySecond(play, 10, 130);
    // 3 kW for two minutes.
    left(play, 130, UnpaidCharge.ID, 0.86, "kWh", 0.86 / 0.96);
  }
}
