package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.ChargeStage;
import islet.contract.OperatorOrder;
import java.time.LocalDateTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * How the supervisor ties the plan, the trade, the count and what outlives a restart together;
 * judged by the demo site's file and by what each part alone is asked to do.
 */
class SupervisorDispatchTest {

  private static FakeSite site(String dispatch, String local, String... more) {
    String[] settings = new String[more.length + 2];
    settings[0] = "supervision.dispatch";
    settings[1] = dispatch;
    System.arraycopy(more, 0, settings, 2, more.length);
    FakeSite s = new FakeSite(Sites.demo(settings));
    s.now = at(s, local);
    return s;
  }

  private static long at(FakeSite s, String local) {
    return LocalDateTime.parse(local).atZone(s.site.place().zone()).toEpochSecond()
        * FakeSite.SECOND;
  }

  private static Given kept(FakeSite s) {
    Given kept = new Given();
    s.supervisor.keep(kept);
    return kept;
  }

  private static boolean trades(FakeSite s) {
    return s.out.feedLimitW > 0 && s.out.feedVoltageV == 44.4;
  }

  // What outlives a restart.

  /** 36 A for a second short of a hundred: the first scan only begins to count. */
  @Test
  void whatGoesInIsMeasuredAndOutlivesARestart() {
    FakeSite s = site("{}", "2026-01-14T15:00").connected();
    s.currentA = 36;
    s.sunA = 36;
    s.seconds(100);
    assertEquals(1, (double) kept(s).seen("battery in ah"), 1e-3);
    FakeSite after = site("{}", "2026-01-14T15:00");
    after.supervisor.keep(new Given().with("battery in ah", 7.0));
    assertEquals(7.0, kept(after).seen("battery in ah"));
  }

  @Test
  void onlyASiteWithAPlanKeepsTheHoursOfItsWeek() {
    FakeSite with = site("{ plan: optimal }", "2026-01-14T15:00");
    assertEquals("", kept(with).seen("load day 1"));
    FakeSite without = site("{}", "2026-01-14T15:00");
    assertThrows(AssertionError.class, () -> kept(without).seen("load day 1"));
  }

  /** Writing down what is to outlive a restart is no restart: nothing is told again. */
  @Test
  void writingTheNoteTellsNoHoldAgain() {
    FakeSite s = site("{}", "2026-01-14T15:00").connected();
    s.ask(OperatorOrder.HOLD, "diver");
    s.scan();
    assertEquals("diver", s.out.holdKey);
    s.tieHeld = true;
    s.seconds(1);
    kept(s);
    for (int i = 0; i < 30; i++) {
      s.scan();
      assertEquals("", s.out.holdKey);
    }
  }

  // The count.

  @Test
  void aFullChargeSeenByTheCoordinatorSetsTheCount() {
    FakeSite s = site("{}", "2026-01-15T01:00").connected();
    s.batteryV = 57.6;
    s.currentA = 5;
    s.sunA = 5;
    double before = s.out.soc;
    assertTrue(before < 0.9, "it begins at " + before);
    s.until(() -> s.out.stage == ChargeStage.FLOAT, "FLOAT", 200);
    s.scan();
    assertEquals(1, s.out.soc, 1e-6);
  }

  // The plan.

  private static FakeSite planned(FakeSite s) {
    s.connected().seconds(70);
    assertTrue(s.supervisor.wantsToThink());
    s.supervisor.think();
    s.seconds(0.2);
    return s;
  }

  /** A panel without loads: the window would charge with 40 A, the plan buys nothing. */
  @Test
  void thePlanStandsInForTheWindowAndWithoutOneTheWindowHolds() {
    FakeSite s = site("{ plan: optimal }", "2026-01-15T02:00");
    s.connected().seconds(70);
    assertEquals(40, s.out.chargeLimitA, 1e-9, "nobody has thought yet");
    s.supervisor.think();
    s.seconds(0.2);
    assertEquals(0, s.out.chargeLimitA);
  }

  /** At 15:50, then into the evening, when a kWh at 0.30 is sold that costs 0.11 at night. */
  private static FakeSite evening() {
    FakeSite s =
        planned(
            site("{ plan: optimal }", "2026-01-14T15:50", "tariff.exportCredit", "0.30 USD/kWh"));
    for (int i = 0; i < 20; i++) {
      s.now += 59_900_000;
      s.scan();
    }
    assertEquals(4_000, s.out.feedLimitW, 1e-9);
    return s;
  }

  @Test
  void whatThePlanSellsLeavesTheSiteAndNoMore() {
    FakeSite s = evening();
    assertTrue(trades(s));
    assertTrue(s.out.exportLimitW > 500 && s.out.exportLimitW <= 4_000, "" + s.out.exportLimitW);
  }

  @Test
  void belowItsReserveThePlanTakesNothing() {
    FakeSite s = evening();
    s.ask(OperatorOrder.WARN, "storm", 600);
    s.seconds(0.2);
    assertFalse(trades(s));
  }

  @Test
  void byHandThePlanTakesNothing() {
    FakeSite s = evening();
    s.ask(OperatorOrder.MANUAL, "");
    s.seconds(0.2);
    assertFalse(trades(s));
  }

  /** Near full, a sun that covers what the inverter draws is not held back; one that doesn't is. */
  @ParameterizedTest
  @CsvSource({"70, 40, false", "30, 40, true"})
  void nearFullTheOrdinaryFeedServesWhenTheSunCovers(double sunA, double drawA, boolean given) {
    FakeSite s = evening();
    s.batteryV = 57.6;
    s.until(() -> s.out.stage == ChargeStage.ABSORPTION, "ABSORPTION", 20);
    s.sunA = sunA;
    s.drawA = drawA;
    s.currentA = sunA - drawA;
    s.seconds(1);
    assertEquals(ChargeStage.ABSORPTION, s.out.stage);
    assertEquals(given, trades(s));
  }

  @Test
  void aPlanThatWishesNothingLetsTheOrdinaryFeedBe() {
    FakeSite s = planned(site("{ plan: optimal }", "2026-01-14T15:50"));
    s.batteryV = 57.6;
    s.until(() -> s.out.stage == ChargeStage.ABSORPTION, "ABSORPTION", 20);
    s.seconds(1);
    assertFalse(trades(s));
    assertEquals(Double.POSITIVE_INFINITY, s.out.exportLimitW);
  }

  // The trade.

  @ParameterizedTest
  @CsvSource({
    "loads, true, 70, 40, false",
    "loads, true, 30, 40, true",
    "loads, false, 70, 40, true",
    "export, true, 70, 40, true",
  })
  void aTradeOfLoadsGivesWayToASunThatCoversThemNearFull(
      String what, boolean nearFull, double sunA, double drawA, boolean given) {
    FakeSite s =
        site(
            "{ trade: " + what + " }",
            "2026-01-14T15:00",
            "tariff.exportCredit",
            what.equals("export") ? "0.20 USD/kWh" : "0.08 USD/kWh");
    s.connected().seconds(1);
    assertTrue(trades(s));
    if (nearFull) {
      s.batteryV = 57.6;
      s.until(() -> s.out.stage == ChargeStage.ABSORPTION, "ABSORPTION", 20);
    }
    s.sunA = sunA;
    s.drawA = drawA;
    s.currentA = sunA - drawA;
    s.seconds(1);
    assertEquals(given, trades(s));
  }

  /** The floor is 20 %: a reserve of the same leaves five hundredths more untouched. */
  @ParameterizedTest
  @CsvSource({"0.27, false", "0.31, true"})
  void aboveTheFloorAMarginIsKeptFromTrade(double sure, boolean given) {
    FakeSite s = site("{ trade: loads }", "2026-01-14T15:00", "supervision.reserve", "20 %");
    s.supervisor.keep(
        new Given()
            .with("charge known", true)
            .with("charge", sure)
            .with("charge doubt", 0.0)
            .with("charge counted at", s.now));
    s.connected().seconds(1);
    assertEquals(given, trades(s));
  }

  // Who begins what, and alarms.

  @Test
  void takingOverIsToldOnceEachWay() {
    FakeSite s = site("{}", "2026-01-14T15:00").connected();
    String[] expected = {"AUTO MANUAL", "", "MANUAL AUTO", ""};
    OperatorOrder[] orders = {
      OperatorOrder.MANUAL, OperatorOrder.MANUAL, OperatorOrder.AUTO, OperatorOrder.AUTO
    };
    for (int i = 0; i < orders.length; i++) {
      s.ask(orders[i], "");
      s.scan();
      String told = s.out.events() == 0 ? "" : s.out.from(0) + " " + s.out.to(0);
      assertEquals(expected[i], told);
    }
  }

  private static AlarmState last(FakeSite s, AlarmId id, AlarmState before) {
    AlarmState state = before;
    for (int i = 0; i < s.out.alarms(); i++) {
      state = s.out.alarmId(i) == id ? s.out.alarmState(i) : state;
    }
    return state;
  }

  /** The alarm of a switch that contradicts itself is for a changeover that tells both contacts. */
  @Test
  void aTieThatWaitsForItsContactRingsNoContradictionOfAChangeover() {
    FakeSite s = site("{}", "2026-01-14T15:00").connected();
    s.auxiliaryLies = true;
    AlarmState state = AlarmState.NORMAL;
    for (int i = 0; i < 3; i++) {
      s.scan();
      state = last(s, AlarmId.TIE_DOUBTFUL, state);
    }
    FakeSite changeover = new FakeSite(Sites.named("ferry-landing-changeover"));
    changeover.connected().seconds(1);
    changeover.auxiliaryLies = true;
    AlarmState there = AlarmState.NORMAL;
    for (int i = 0; i < 600; i++) {
      changeover.scan();
      there = last(changeover, AlarmId.TIE_DOUBTFUL, there);
    }
    assertEquals(AlarmState.UNACKNOWLEDGED, there);
    changeover.auxiliaryLies = false;
    for (int i = 0; i < 20; i++) {
      changeover.scan();
      there = last(changeover, AlarmId.TIE_DOUBTFUL, there);
    }
    assertEquals(AlarmState.RETURNED, there);
    assertEquals(AlarmState.NORMAL, state);
  }
}
