package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * What each device is ordered in each step of the mode machine, and what the supervisor tells of
 * itself. Judged by the sequences of the design (a planned leave unloads the tie and then opens it,
 * an island forms behind an open tie, a return synchronises before the tie closes, a dead panel is
 * closed onto with the inverter off), by its interlocks, and by the numbers of the site's file.
 */
class OrdersTest {

  private static final Site DEMO = Sites.demo();
  private static final Site CHANGEOVER = Sites.named("ferry-landing-changeover");

  private static void orders(FakeSite s, String tie, String inverter, boolean permit) {
    assertEquals(tie, s.out.tieOrdered ? s.out.tie.name() : "", "tie");
    assertEquals(inverter, s.out.inverterOrdered ? s.out.inverter.name() : "", "inverter");
    assertEquals(permit, s.out.islandPermit, "permit to form by itself");
  }

  @Test
  void nothingIsOrderedBeforeTheFieldHasReported() {
    FakeSite s = new FakeSite(DEMO);
    s.meterSilent = true;
    s.scan();
    assertEquals(Phase.LISTEN, s.phase());
    orders(s, "", "", false);
    assertFalse(s.out.chargingOrdered);
    assertEquals(Mode.STARTING, s.out.mode);
    s.meterSilent = false;
    s.scan();
    assertTrue(s.out.chargingOrdered);
  }

  @Test
  void onTheUtilityTheInverterFollowsAndMayFormWhenTheTieOpensByItself() {
    FakeSite s = new FakeSite(DEMO).connected();
    orders(s, "", "FOLLOW", true);
    assertTrue(s.out.tieClosed);
    assertEquals(GridState.RETURNING, s.out.grid);
    s.drain();
    s.seconds(31);
    orders(s, "", "FOLLOW", false);
    assertEquals(0, s.out.feedLimitW, "nothing is fed from an empty battery");
  }

  @Test
  void besideAChangeoverTheInverterRunsOnWhileItIsAble() {
    FakeSite s = new FakeSite(CHANGEOVER).connected();
    orders(s, "", "FORM", true);
    s.inverterObeys = false;
    s.inverter = InverterState.FAULT;
    s.scan();
    orders(s, "", "OFF", true);
    s.inverter = InverterState.FORMING;
    s.drain();
    s.seconds(31);
    orders(s, "", "OFF", false);
  }

  @ParameterizedTest
  @CsvSource({"900, 900", "3999, 3999", "5000, 4000", "-20, 0"})
  void beforeAPlannedOpeningTheInverterFeedsWhatThePanelDraws(double drawW, double feedW) {
    FakeSite s = new FakeSite(DEMO).connected();
    s.criticalW = drawW;
    s.acPowerW = -1000;
    s.ask(OperatorOrder.ISLAND, "");
    s.until(Phase.UNLOAD_TIE, 0.2);
    orders(s, "", "FOLLOW", true);
    assertEquals(feedW, s.out.feedLimitW);
    assertEquals(0, s.out.chargeLimitA, "nobody charges meanwhile");
    // It feeds from whatever voltage the battery has, down to its disconnect.
    assertEquals(44.4, s.out.feedVoltageV);
    assertEquals(44.4, s.out.chargeVoltageV);
    s.tieObeys = false;
    s.acPowerW = drawW;
    s.until(Phase.OPEN_TIE, 10);
    orders(s, "OPEN", "FOLLOW", true);
    assertEquals(feedW, s.out.feedLimitW, "until it has opened");
  }

  @Test
  void aTieThatIsOpenedForALossIsNotFedOn() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.criticalW = 900;
    s.tieObeys = false;
    s.utilityPu = 0;
    s.until(Phase.OPEN_TIE, 0.2);
    orders(s, "OPEN", "FOLLOW", true);
    assertEquals(0, s.out.feedLimitW);
  }

  @Test
  void noPermitToFormIsGivenOnAnEmptyBattery() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.drain();
    s.seconds(31);
    s.tieObeys = false;
    s.utilityPu = 0;
    s.until(Phase.OPEN_TIE, 0.2);
    orders(s, "OPEN", "FOLLOW", false);
  }

  @Test
  void anIslandIsFormedAndCarriedBehindATieThatIsOrderedOpen() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.utilityPu = 0;
    s.until(Phase.FORM, 1);
    orders(s, "OPEN", "FORM", true);
    s.until(Phase.CARRY, 1);
    orders(s, "OPEN", "FORM", true);
    assertFalse(s.out.tieClosed);
    assertEquals(Mode.ISLANDED, s.out.mode);
    assertEquals(0, s.out.chargeLimitA);
    assertEquals(0, s.out.feedLimitW);
  }

  @Test
  void aReturnSynchronisesBeforeTheTieIsTold() {
    FakeSite s = new FakeSite(DEMO).synchronising();
    orders(s, "", "SYNCHRONISE", true);
    s.tieObeys = false;
    s.until(Phase.CLOSE_TIE, 1);
    orders(s, "CLOSE", "SYNCHRONISE", true);
  }

  @Test
  void aChangeoverReturnsWithoutComingIntoStep() {
    FakeSite s = new FakeSite(CHANGEOVER).islanded();
    s.utilityPu = 1;
    s.tieObeys = false;
    s.until(Phase.SYNCHRONISE, 310);
    orders(s, "", "FORM", true);
    s.until(Phase.CLOSE_TIE, 1);
    orders(s, "CLOSE", "FORM", true);
  }

  @Test
  void aSwitchByHandIsNeverOrdered() {
    FakeSite s = new FakeSite(Sites.named("boat-shed"));
    s.batteryV = 25;
    s.connected().utilityPu = 0;
    for (int i = 0; i < 100; i++) {
      s.scan();
      assertFalse(s.out.tieOrdered);
    }
    assertEquals(Phase.UNSUPPLIED, s.phase());
  }

  @Test
  void aSiteWithoutASwitchOrdersNone() {
    FakeSite s = new FakeSite(Sites.named("ferry-landing-charger-only"));
    s.until(Phase.CARRY, 5);
    orders(s, "", "FORM", true);
  }

  @Test
  void aDeadPanelIsClosedOntoWithTheInverterOff() {
    FakeSite s = new FakeSite(DEMO).dark();
    orders(s, "OPEN", "OFF", false);
    s.utilityPu = 1;
    s.tieObeys = false;
    s.until(Phase.CLOSE_ON_DEAD_PANEL, 310);
    orders(s, "CLOSE", "OFF", false);
  }

  /** A panel that lives after all is no dead bus: the close is withheld by the interlock. */
  @Test
  void aPanelThatIsNotDeadAnyMoreIsNotClosedOnto() {
    FakeSite s =
        new FakeSite(DEMO) {
          @Override
          void report() {
            super.report();
            if (phase() == Phase.CLOSE_ON_DEAD_PANEL) {
              in.take(
                  new TieTelemetry(
                      0, now, false, false, 1, 60, 0.5, 60, 90, TieTrip.NONE, false, false),
                  now);
            }
          }
        };
    s.closingOnDeadPanel();
    s.scan();
    assertEquals(Phase.CLOSE_ON_DEAD_PANEL, s.phase());
    orders(s, "", "OFF", false);
  }

  @Test
  void whoWaitsForAPersonStopsTheInverterAndOpensTowardsALostUtility() {
    FakeSite s = new FakeSite(DEMO);
    s.inverter = InverterState.FORMING;
    s.inverterObeys = false;
    s.tieObeys = false;
    s.until(Phase.WAIT_FOR_PERSON, 1);
    orders(s, "", "OFF", false);
    assertEquals(Mode.HELD, s.out.mode);
    s.utilityPu = 0;
    s.scan();
    orders(s, "OPEN", "OFF", false);
  }

  /** The contact has touched, and says so, while the inverter still steers; it may open again. */
  @Test
  void aTieThatHasClosedTurnsTheInverterIntoAFollower() {
    FakeSite s = new FakeSite(DEMO).closing();
    s.inverterObeys = false;
    s.tieClosed = true;
    s.scan();
    assertEquals(Phase.CLOSE_TIE, s.phase());
    orders(s, "", "FOLLOW", true);
  }

  @Test
  void anInverterThatDoesNotFormBehindASilentTieIsStopped() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.utilityPu = 0;
    s.inverterObeys = false;
    s.until(Phase.FORM, 1);
    s.tieSilent = true;
    s.seconds(3);
    orders(s, "OPEN", "FORM", true);
    s.scan();
    assertEquals(Phase.FORM, s.phase());
    orders(s, "OPEN", "OFF", false);
  }

  @Test
  void anIslandOfWhichNothingIsHeardIsLeftAlone() {
    FakeSite s = new FakeSite(DEMO).islanded();
    s.tieSilent = s.inverterSilent = true;
    s.seconds(3);
    orders(s, "OPEN", "FORM", true);
    s.scan();
    assertEquals(Phase.CARRY, s.phase());
    orders(s, "OPEN", "", false);
  }

  @Test
  void anEmptyBatteryFormsNothing() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.drain();
    s.seconds(29.5);
    s.utilityPu = 0;
    s.inverterObeys = false;
    s.until(Phase.FORM, 0.4);
    orders(s, "OPEN", "FORM", true);
    s.seconds(1);
    assertEquals(Phase.FORM, s.phase());
    orders(s, "OPEN", "OFF", false);
  }

  @Test
  void withoutABatteryVoltageNobodyCharges() {
    FakeSite s = new FakeSite(CHANGEOVER).connected();
    assertTrue(s.out.chargerEnabled);
    assertTrue(s.out.chargerLimitA > 0);
    assertTrue(s.out.regulatorEnabled);
    s.batteryV = 0;
    s.scan();
    assertFalse(s.out.regulatorEnabled);
    assertFalse(s.out.chargerEnabled);
    assertEquals(0, s.out.chargerLimitA);
    FakeSite tied = new FakeSite(Sites.demo(window()));
    tied.batteryV = 50;
    tied.connected();
    assertEquals(40, tied.out.chargeLimitA);
    tied.batteryV = 0;
    tied.scan();
    assertEquals(0, tied.out.chargeLimitA);
    assertEquals(0, tied.out.feedLimitW);
  }

  private static String[] window() {
    return new String[] {"supervision.chargeWindows.1.between", "12:00-18:00"};
  }

  /** A charger of its own needs the utility only; one behind the tie a closed tie too. */
  @Test
  void theUtilityChargesWhereverItReaches() {
    FakeSite s = new FakeSite(CHANGEOVER).islanded();
    assertFalse(s.out.chargerEnabled);
    s.utilityPu = 1;
    s.seconds(1);
    assertEquals(Phase.CARRY, s.phase());
    assertTrue(s.out.chargerEnabled);
    FakeSite tied = new FakeSite(Sites.demo(window()));
    tied.batteryV = 50;
    tied.islanded().utilityPu = 1;
    tied.seconds(1);
    assertEquals(0, tied.out.chargeLimitA);
    assertEquals(ChargeStage.BULK, tied.out.stage);
  }

  @Test
  void surplusIsFedWithWhatTheRampAllows() {
    FakeSite s = new FakeSite(DEMO);
    s.batteryV = 57.6;
    s.synchronising().until(Phase.CONNECTED, 10);
    s.sunA = 30;
    s.seconds(75);
    // A quarter of 300 s; the bank is in absorption, where all that lifts the bus is fed.
    assertEquals(ChargeStage.ABSORPTION, s.out.stage);
    assertEquals(1000, s.out.feedLimitW, 5);
    s.seconds(300);
    assertEquals(4000, s.out.feedLimitW);
    FakeSite house = new FakeSite(Sites.named("ferry-landing-inverter-charger"));
    house.batteryV = 57.6;
    house.connected().sunA = 30;
    house.seconds(30);
    assertEquals(0, house.out.feedLimitW, "this one may not feed");
  }

  /**
   * 47.2 V are 11.80 V of a 12 V battery, which rests so at 29.3 %: below the second of the steps
   * at 35, 31.25, 27.5 and 23.75 %.
   */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void circuitsAreShedOnAnIslandOnly(boolean islanded) {
    FakeSite s = new FakeSite(DEMO);
    s.batteryV = 47.2;
    if (islanded) {
      s.islanded();
    } else {
      s.connected();
    }
    assertEquals(0.293, s.out.soc, 0.001);
    assertEquals(islanded ? 2 : 0, s.out.shedCount);
  }

  @Test
  void circuitsStayOffWhileTheIslandIsGoneOrReturning() {
    FakeSite dark = new FakeSite(DEMO);
    dark.batteryV = 47.2;
    dark.dark();
    assertEquals(2, dark.out.shedCount);
    FakeSite back = new FakeSite(DEMO);
    back.batteryV = 47.2;
    back.synchronising();
    assertEquals(2, back.out.shedCount);
    back.tieObeys = false;
    back.until(Phase.CLOSE_TIE, 5);
    assertEquals(2, back.out.shedCount);
    back.tieObeys = true;
    back.until(Phase.CONNECTED, 5);
    assertEquals(0, back.out.shedCount);
  }

  // The utility, by tie and meter.

  private static FakeSite qualifying() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.seconds(100);
    assertEquals(200, s.out.qualifiedInS, 0.3);
    return s;
  }

  private static MeterTelemetry meter(FakeSite s, double pu, double hz) {
    return new MeterTelemetry(0, s.now, pu, hz, 0, 0, 0, 1, s.batteryV, 0, 25, "", false);
  }

  private static TieTelemetry tie(FakeSite s, boolean closed, double pu, double hz, TieTrip trip) {
    return new TieTelemetry(0, s.now, closed, true, pu, hz, pu, hz, 0, trip, false, false);
  }

  /** What is over before the scan has still been: the 300 s begin anew. */
  @ParameterizedTest
  @CsvSource({"0.9, 60", "1.06, 60", "1, 59.4", "1, 60.2"})
  void aDipBetweenTwoScansBeginsTheDelayAnew(double pu, double hz) {
    FakeSite byTie = qualifying();
    byTie.in.take(tie(byTie, true, pu, hz, TieTrip.NONE), byTie.now);
    byTie.scan();
    assertEquals(300, byTie.out.qualifiedInS, 0.3);
    FakeSite byMeter = qualifying();
    byMeter.in.take(meter(byMeter, pu, hz), byMeter.now);
    byMeter.scan();
    assertEquals(300, byMeter.out.qualifiedInS, 0.3);
    FakeSite neither = qualifying();
    neither.in.take(meter(neither, 1, 60), neither.now);
    neither.scan();
    assertEquals(199.9, neither.out.qualifiedInS, 0.3);
  }

  @ParameterizedTest
  @EnumSource(TieTrip.class)
  void aTieThatTripsByItselfBeginsTheDelayAnew(TieTrip trip) {
    FakeSite s =
        new FakeSite(DEMO) {
          @Override
          void report() {
            super.report();
            if (!tieClosed) {
              in.take(
                  new TieTelemetry(0, now, false, true, 1, 60, 1, 60.05, 90, trip, false, false),
                  now);
            }
          }
        };
    s.connected().seconds(100);
    s.tieClosed = false;
    s.scan();
    assertEquals(trip == TieTrip.NONE ? 199.9 : 300, s.out.qualifiedInS, 0.3);
    // Only the moment of the trip counts, not that it stands.
    s.seconds(10);
    assertEquals(trip == TieTrip.NONE ? 190 : 290, s.out.qualifiedInS, 0.3);
  }

  @Test
  void theMeterStandsInForASilentTieAndNobodyForBoth() {
    FakeSite s = qualifying();
    s.tieSilent = true;
    s.seconds(10);
    assertEquals(190, s.out.qualifiedInS, 0.3);
    s.utilityPu = 0.93;
    s.seconds(3);
    assertEquals(GridState.RETURNING, s.out.grid);
    s.meterSilent = true;
    s.seconds(3);
    assertEquals(GridState.RETURNING, s.out.grid);
    s.scan();
    assertEquals(GridState.UNKNOWN, s.out.grid);
    assertEquals(300, s.out.qualifiedInS);
  }

  @Test
  void aTieIsBelievedForThreeSeconds() {
    FakeSite s = qualifying();
    s.tieSilent = true;
    s.utilityPu = 0;
    s.seconds(3);
    assertEquals(GridState.RETURNING, s.out.grid);
    s.scan();
    assertEquals(GridState.GONE, s.out.grid);
  }

  // What operators do, and what is told.

  @Test
  void aPadlockIsHungTakenOffAndTold() {
    FakeSite s = new FakeSite(DEMO).connected();
    s.ask(OperatorOrder.HOLD, "dockmaster");
    s.scan();
    assertEquals("dockmaster", s.out.holdKey);
    assertTrue(s.out.holdPlaced);
    assertEquals("hold", s.out.kind(0));
    assertEquals("dockmaster", s.out.to(0));
    s.scan();
    assertEquals("", s.out.holdKey);
    s.ask(OperatorOrder.HOLD, "dockmaster");
    s.scan();
    assertEquals("", s.out.holdKey, "it hangs already");
    assertEquals(0, s.out.events());
    s.ask(OperatorOrder.RELEASE, "somebody");
    s.scan();
    assertEquals("", s.out.holdKey);
    assertEquals(0, s.out.events());
    s.ask(OperatorOrder.RELEASE, "dockmaster");
    s.scan();
    assertEquals("dockmaster", s.out.holdKey);
    assertFalse(s.out.holdPlaced);
    assertEquals("dockmaster", s.out.from(0));
  }

  @Test
  void aModesChangeIsToldWithItsReason() {
    FakeSite s = new FakeSite(DEMO);
    s.until(Phase.CONNECTED, 1);
    assertEquals(1, s.out.events());
    assertEquals("mode", s.out.kind(0));
    assertEquals("STARTING", s.out.from(0));
    assertEquals("GRID_PRESENT", s.out.to(0));
    assertTrue(s.out.reason(0).contains("tie closed"), s.out.reason(0));
    s.scan();
    assertEquals(0, s.out.events());
  }

  @Test
  void theStateIsToldAsItIs() {
    FakeSite s = new FakeSite(DEMO).connected();
    assertEquals(49.6, s.out.batteryVoltageV);
    // 49.6 V are 12.4 V of a 12 V battery: between 12.37 (70 %) and 12.50 (80 %).
    assertEquals(0.723, s.out.soc, 0.001);
    assertEquals(0.5, s.out.reserveSoc);
    assertEquals(Authority.AUTO, s.out.authority);
    assertEquals("", s.out.overrides);
  }

  @Test
  void theInvertersLowVoltageDisconnectEndsAllFeeding() {
    FakeSite s = new FakeSite(DEMO);
    s.batteryV = 57.6;
    s.connected().sunA = 30;
    s.seconds(30);
    assertTrue(s.out.feedLimitW > 0);
    s.inverterObeys = false;
    s.inverter = InverterState.FAULT;
    s.inverterTrip = InverterTrip.DC_LOW;
    s.scan();
    assertEquals(0, s.out.feedLimitW);
    assertEquals(InverterOrder.FOLLOW, s.out.inverter);
    assertEquals(TieOrder.OPEN, s.out.tie, "never ordered, as it began");
  }

  /** The tie tells a padlock at once; what it has not heard of two seconds later is said again. */
  @Test
  void aHoldThatTheTieDoesNotKnowOfIsSaidAgain() {
    FakeSite s = new FakeSite(Sites.demo()).connected();
    s.ask(OperatorOrder.HOLD, "red");
    s.scan();
    assertEquals("red", s.out.holdKey);
    s.ask(OperatorOrder.HOLD, "blue");
    s.scan();
    List<String> said = new ArrayList<>();
    for (int i = 0; i < 61; i++) {
      s.scan();
      if (!s.out.holdKey.isEmpty()) {
        assertTrue(s.out.holdPlaced);
        said.add(s.out.holdKey);
      }
    }
    assertEquals(List.of("red", "blue", "red"), said);
    s.tieHeld = true;
    s.seconds(5);
    assertEquals("", s.out.holdKey);
    s.tieHeld = false;
    s.ask(OperatorOrder.RELEASE, "red");
    s.scan();
    s.ask(OperatorOrder.RELEASE, "blue");
    s.scan();
    s.seconds(5);
    assertEquals("", s.out.holdKey, "nothing hangs, nothing is said");
  }
}
