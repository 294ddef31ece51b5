package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Authority;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.Forced;
import islet.contract.GridState;
import islet.contract.InverterState;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.site.Site.OnSag;
import java.lang.management.ManagementFactory;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;

/**
 * Every hazard both ways, on truth made by hand. Judged by IEEE Std 1547-2018, Tables 4, 5, 13, 18
 * and 8.1, the ITI (CBEMA) curve application note, 2000 (both from memory) and the limits of the
 * site's description.
 */
class HazardsTest {

  private static final long START = 1_768_424_400_000_000L;

  /** A run made by hand; it begins on the utility with all well. */
  static final class Play {

    final Truth truth = new Truth();
    final Hazards hazards;
    private long seq;

    Play(OnSag onSag, Map<String, String> waived) {
      hazards = new Hazards(TestSites.site(onSag), START, waived);
      truth.utilitySourceLive = true;
      truth.utilitySourcePu = 1;
      truth.sample.set(Signal.MAIN_VOLTAGE, 1);
      truth.utilitySourceHz = 60;
      truth.contactClosed = true;
      truth.energyAvailable = true;
      truth.pathHealthy = true;
      truth.exportPermitted = true;
      truth.exportLimitW = 4000;
      truth.sample.set(Signal.CRITICAL_VOLTAGE, 1);
      truth.sample.set(Signal.CRITICAL_POWER, 500);
      truth.sample.set(Signal.BATTERY_VOLTAGE, 52);
      truth.sample.set(Signal.BATTERY_SOC, 0.8);
      truth.sample.set(Signal.BATTERY_TEMPERATURE, 25);
      truth.sample.set(Signal.INVERTER_STATE, InverterState.FOLLOWING);
      at(0, t -> {});
    }

    Play() {
      this(OnSag.SEPARATE, Map.of());
    }

    Play at(double seconds, Consumer<Truth> change) {
      truth.sample.at(micros(seconds));
      change.accept(truth);
      hazards.truth(truth);
      return this;
    }

    Play tell(double seconds, Mode mode, boolean tieClosed) {
      hazards.told(
          micros(seconds),
          new SupervisorTelemetry(
              seq++,
              micros(seconds),
              mode,
              ChargeStage.FLOAT,
              GridState.QUALIFIED,
              tieClosed,
              52,
              0.8,
              0.5,
              0,
              Authority.AUTO,
              "",
              0.5,
              "",
              false,
              1));
      return this;
    }

    Play alarm(double seconds, AlarmId id) {
      hazards.alarmed(
          micros(seconds),
          Device.SUPERVISOR,
          new Alarm(
              seq++,
              micros(seconds),
              id,
              AlarmState.UNACKNOWLEDGED,
              id.priority(),
              id.text(),
              id.consequence(),
              id.action()));
      return this;
    }

    Play ack(double seconds, long command, AckResult result) {
      hazards.answered(
          micros(seconds), Device.TIE, new Ack(seq++, micros(seconds), command, result, ""));
      return this;
    }

    HazardVerdict verdict(double endSeconds, String id) {
      hazards.finish(micros(endSeconds));
      return hazards.verdicts().stream().filter(v -> v.id().equals(id)).findFirst().orElseThrow();
    }
  }

  static long micros(double seconds) {
    return START + Math.round(seconds * 1e6);
  }

  private static void passes(HazardVerdict verdict, double margin, String unit) {
    assertEquals(Outcome.PASS, verdict.verdict(), verdict.detail());
    assertEquals(margin, verdict.worstMargin(), 1e-9, verdict.detail());
    assertEquals(unit, verdict.unit());
  }

  private static void fails(HazardVerdict verdict, double margin, String unit, double firstAt) {
    assertEquals(Outcome.FAIL, verdict.verdict(), verdict.detail());
    assertEquals(margin, verdict.worstMargin(), 1e-9, verdict.detail());
    assertEquals(unit, verdict.unit());
    assertEquals(firstAt, verdict.firstAtSeconds(), 1e-9, verdict.detail());
  }

  static void outage(Truth t) {
    t.utilitySourceLive = false;
    t.utilitySourcePu = 0;
    t.sample.set(Signal.MAIN_VOLTAGE, 0);
    t.utilitySourceHz = 0;
  }

  static void back(Truth t) {
    t.utilitySourceLive = true;
    t.utilitySourcePu = 1;
    t.sample.set(Signal.MAIN_VOLTAGE, 1);
    t.utilitySourceHz = 60;
  }

  static void island(Truth t) {
    t.contactClosed = false;
    t.causedLineV = 0;
    t.sample.set(Signal.INVERTER_STATE, InverterState.FORMING);
    t.inverterOutW = 500;
  }

  @Test
  void aHealthyRunTripsNothingAndListsEveryHazard() {
    Play play = new Play();
    for (int s = 1; s <= 600; s++) {
      play.at(s, t -> {}).tell(s, Mode.GRID_PRESENT, true);
    }
    play.hazards.finish(micros(600));
    List<HazardVerdict> verdicts = play.hazards.verdicts();
    assertEquals(Hazards.IDS, verdicts.stream().map(HazardVerdict::id).toList());
    for (HazardVerdict verdict : verdicts) {
      assertEquals(Outcome.PASS, verdict.verdict(), verdict.detail());
      assertTrue(Double.isFinite(verdict.worstMargin()) && verdict.worstMargin() > 0);
    }
  }

  @Test
  void everyHazardIsWrittenDownAsAFormula() {
    for (String id : Hazards.IDS) {
      assertTrue(HazardNote.of(id).formula().startsWith("□") || id.equals(LostLoad.ID), id);
      assertTrue(HazardNote.of(id).bound().length() > 20, id);
    }
    assertThrows(IllegalArgumentException.class, () -> HazardNote.of("no such hazard"));
  }

  @Test
  void aTieWeldedShutOnADeadLineBackfeedsAfterTwoSeconds() {
    Play play = new Play();
    play.at(100, HazardsTest::outage)
        .at(
            100.02,
            t -> {
              t.sample.set(Signal.INVERTER_STATE, InverterState.FORMING);
              t.causedLineV = 238;
            });
    for (int s = 101; s <= 110; s++) {
      play.at(s, t -> {});
    }
    fails(play.verdict(110, Backfeed.ID), 2 - 9.98, "s", 102.02);
  }

  @Test
  void anIslandThatIsFoundAndLeftInTimeIsNoBackfeed() {
    Play play = new Play();
    play.at(
            100,
            t -> {
              outage(t);
              t.causedLineV = 240;
            })
        .at(101.4, HazardsTest::island);
    passes(play.verdict(200, Backfeed.ID), 0.6, "s");
  }

  @Test
  void feedingAUtilityAboveItsTripLimitIsBackfeedAfterTheClearingTime() {
    Play play = new Play();
    play.at(10, t -> t.inverterOutW = 1000)
        .at(20, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1.25))
        .at(20.5, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1));
    fails(play.verdict(30, Backfeed.ID), 0.16 - 0.5, "s", 20.16);
  }

  @Test
  void anInverterThatOnlyIdlesOnAnOddUtilityFeedsNothing() {
    Play play = new Play();
    play.at(20, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1.25))
        .at(25, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1));
    HazardVerdict verdict = play.verdict(30, Backfeed.ID);
    passes(verdict, 2, "s");
    assertEquals(-1, verdict.firstAtSeconds());
  }

  private static Consumer<Truth> close(double islandPu, double deltaHz, double deltaDeg) {
    return t -> {
      t.contactClosed = true;
      t.closeUtilityPu = t.utilitySourcePu;
      t.closeIslandPu = islandPu;
      t.closeDeltaHz = deltaHz;
      t.closeDeltaDeg = deltaDeg;
    };
  }

  @Test
  void closingAcrossTooWideAnAngleIsOutOfSync() {
    Play play = new Play();
    play.at(10, HazardsTest::island).at(399, apart(0, -47)).at(400, close(1, 0.05, -47));
    fails(play.verdict(500, OutOfSyncClose.ID), 20 - 47, "°", 400);
  }

  static Consumer<Truth> apart(double deltaHz, double deltaDeg) {
    return t -> {
      t.apartHz = deltaHz;
      t.apartDeg = deltaDeg;
    };
  }

  /**
   * The site's tie travels for 8 ms and sees a loss after 4 ms: 12 ms before, nobody could stop.
   */
  @Test
  void aPhaseJumpInTheLastTwelveMillisecondsBeforeAContactTouchesIsNobodysFault() {
    Play play = new Play();
    play.at(10, HazardsTest::island)
        .at(399.9, apart(0.05, 3))
        .at(399.988, apart(0.05, -117))
        .at(400, close(1, 0.05, -117));
    passes(play.verdict(500, OutOfSyncClose.ID), 20 - 3 - 360 * 0.05 * 0.1, "°");
  }

  @Test
  void oneThatComesBeforeThatIsOutOfSync() {
    Play play = new Play();
    play.at(10, HazardsTest::island)
        .at(399.9, apart(0.05, 3))
        .at(399.987, apart(0.05, -117))
        .at(400, close(1, 0.05, -117));
    fails(play.verdict(500, OutOfSyncClose.ID), 20 - 117, "°", 400);
  }

  /** 0.2 Hz pass 7° in 100 ms, which whoever orders the close can foresee. */
  @Test
  void anAngleThatDriftsOutWhileTheContactTravelsIsOutOfSync() {
    Play play = new Play();
    play.at(10, HazardsTest::island)
        .at(399.9, apart(0.2, 18))
        .at(400, close(1, 0.2, 18 + 360 * 0.2 * 0.1));
    fails(play.verdict(500, OutOfSyncClose.ID), 20 - 25.2, "°", 400);
  }

  @Test
  void theTightestOfThreeDifferencesIsReportedInItsOwnUnit() {
    Play play = new Play();
    play.at(10, HazardsTest::island).at(400, close(1.01, 0.27, 5));
    passes(play.verdict(500, OutOfSyncClose.ID), 0.03, "Hz");
  }

  @Test
  void closingOntoADeadPanelHasNothingToBeInStepWith() {
    Play play = new Play();
    play.at(10, t -> t.contactClosed = false).at(400, close(0.02, 12, 170));
    HazardVerdict verdict = play.verdict(500, OutOfSyncClose.ID);
    assertEquals(Outcome.PASS, verdict.verdict());
    assertEquals(-1, verdict.firstAtSeconds());
  }

  @Test
  void returningBeforeTheDelayHasRunIsEarly() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1299, close(1, 0, 0));
    fails(play.verdict(1400, EarlyReturn.ID), -1, "s", 1299);
  }

  /** The same 12 ms: what begins in them finds the contact on its way. */
  @Test
  void aDipInTheLastTwelveMillisecondsBeforeAContactTouchesDoesNotMakeTheReturnEarly() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1302.488, t -> t.sample.set(Signal.MAIN_VOLTAGE, 0.7))
        .at(1302.5, close(1, 0, 0));
    passes(play.verdict(1400, EarlyReturn.ID), 2.5, "s");
  }

  @Test
  void aDipThatBeginsBeforeThatDoes() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1302.487, t -> t.sample.set(Signal.MAIN_VOLTAGE, 0.7))
        .at(1302.5, close(1, 0, 0));
    fails(play.verdict(1400, EarlyReturn.ID), -0.013 - 300, "s", 1302.5);
  }

  @Test
  void aDipThatIsOverCountsHoweverShortItWas() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1302, t -> t.sample.set(Signal.MAIN_VOLTAGE, 0.7))
        .at(1302.005, t -> t.sample.set(Signal.MAIN_VOLTAGE, 1))
        .at(1302.5, close(1, 0, 0));
    fails(play.verdict(1400, EarlyReturn.ID), 0.495 - 300, "s", 1302.5);
  }

  @Test
  void returningAfterTheDelayIsInTime() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1302.5, close(1, 0, 0));
    passes(play.verdict(1400, EarlyReturn.ID), 2.5, "s");
  }

  /** Left time robustness (Donzé and Maler, FORMATS 2010): the longer out of band, the worse. */
  @Test
  void returningToAUtilityOutOfBandIsWorseByAsLongAsItHasBeenOut() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1200, t -> t.utilitySourceHz = 60.2)
        .at(1205, close(1, 0, 0));
    fails(play.verdict(1400, EarlyReturn.ID), -5 - 300, "s", 1205);
  }

  @Test
  void aBreakInTheBandBeginsTheDelayAnew() {
    Play play = new Play();
    play.at(10, HazardsTest::outage)
        .at(10.1, HazardsTest::island)
        .at(1000, HazardsTest::back)
        .at(1200, t -> t.utilitySourceHz = 60.2)
        .at(1201, t -> t.utilitySourceHz = 60)
        .at(1302.5, close(1, 0, 0));
    fails(play.verdict(1400, EarlyReturn.ID), 101.5 - 300, "s", 1302.5);
  }

  @Test
  void whatCameBeforeTheRunCountsAsQualified() {
    Play play = new Play();
    play.at(5, HazardsTest::island).at(60, close(1, 0, 0));
    passes(play.verdict(100, EarlyReturn.ID), 60, "s");
  }

  @Test
  void chargingAboveTheVoltageLimitForLongerThanToleratedIsOvercharge() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.BATTERY_VOLTAGE, 61.7))
        .at(111, t -> t.sample.set(Signal.BATTERY_VOLTAGE, 57));
    fails(play.verdict(200, Overcharge.ID), -0.5, "V", 110);
  }

  @Test
  void aShortRiseOfBatteryVoltageIsBorne() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.BATTERY_VOLTAGE, 61.7))
        .at(109, t -> t.sample.set(Signal.BATTERY_VOLTAGE, 60.9));
    HazardVerdict verdict = play.verdict(200, Overcharge.ID);
    passes(verdict, 61.2 - 60.9, "V");
  }

  @Test
  void tooMuchCurrentAndTooColdACellAreOverchargeToo() {
    Play current = new Play();
    current.at(100, t -> t.sample.set(Signal.BATTERY_CURRENT, 95));
    fails(current.verdict(200, Overcharge.ID), -15, "A", 110);

    Play cold = new Play();
    cold.at(
        100,
        t -> {
          t.sample.set(Signal.BATTERY_CURRENT, 30);
          t.sample.set(Signal.BATTERY_TEMPERATURE, -14);
        });
    fails(cold.verdict(200, Overcharge.ID), -4, "°C", 110);
  }

  @Test
  void aColdBatteryThatIsNotChargedIsNotOvercharged() {
    Play play = new Play();
    play.at(
        100,
        t -> {
          t.sample.set(Signal.BATTERY_CURRENT, 3.9);
          t.sample.set(Signal.BATTERY_TEMPERATURE, -14);
        });
    assertEquals(Outcome.PASS, play.verdict(200, Overcharge.ID).verdict());
  }

  static Consumer<Truth> discharge(double soc, double volts) {
    return t -> {
      outage(t);
      island(t);
      t.sample.set(Signal.BATTERY_CURRENT, -12);
      t.sample.set(Signal.BATTERY_SOC, soc);
      t.sample.set(Signal.BATTERY_VOLTAGE, volts);
    };
  }

  @Test
  void feedingLoadsFromBelowTheFloorIsDeepDischarge() {
    Play play = new Play();
    play.at(100, discharge(0.25, 48)).at(200, discharge(0.19, 47));
    fails(play.verdict(300, DeepDischarge.ID), -0.01, "SoC", 212);
  }

  @Test
  void feedingLoadsFromBelowTheDisconnectVoltageIsDeepDischarge() {
    Play play = new Play();
    play.at(100, discharge(0.4, 43.9));
    fails(play.verdict(300, DeepDischarge.ID), -0.5, "V", 112);
  }

  @Test
  void loadsThatAreDroppedAtTheFloorInTimeDoNoHarm() {
    Play play = new Play();
    play.at(100, discharge(0.25, 48)).at(200, discharge(0.19, 47)).at(211, t -> t.inverterOutW = 0);
    passes(play.verdict(300, DeepDischarge.ID), 0.05, "SoC");
  }

  static Consumer<Truth> panel(double pu) {
    return t -> t.sample.set(Signal.CRITICAL_VOLTAGE, pu);
  }

  @Test
  void aTransferWithinTwentyMillisecondsIsBorneByTheEnvelope() {
    Play play = new Play();
    play.at(100, panel(0)).at(100.016, panel(1));
    passes(play.verdict(200, LostLoad.ID), 0.004, "s");
  }

  @Test
  void aTransferOfThirtyMillisecondsLosesTheLoad() {
    Play play = new Play();
    play.at(100, panel(0)).at(100.03, panel(1));
    fails(play.verdict(200, LostLoad.ID), -0.01, "s", 100.02);
  }

  @Test
  void aPanelThatStaysALittleLowLosesTheLoadAfterTenSeconds() {
    Play play = new Play();
    play.at(100, panel(0.85)).at(111, panel(1));
    fails(play.verdict(200, LostLoad.ID), -1, "s", 110);
  }

  @Test
  void aPanelThatNothingCanFeedIsNotLost() {
    Play play = new Play();
    play.at(
        100,
        t -> {
          t.energyAvailable = false;
          t.sample.set(Signal.CRITICAL_VOLTAGE, 0);
        });
    assertEquals(Outcome.PASS, play.verdict(5000, LostLoad.ID).verdict());
  }

  @Test
  void whenEnergyComesBackThePanelMustFollowWithinTheTimeoutsOfAStart() {
    for (double delay : new double[] {20, 50}) {
      Play play = new Play();
      play.at(
              100,
              t -> {
                t.energyAvailable = false;
                t.sample.set(Signal.CRITICAL_VOLTAGE, 0);
              })
          .at(1000, t -> t.energyAvailable = true)
          .at(1000 + delay, panel(1));
      HazardVerdict verdict = play.verdict(2000, LostLoad.ID);
      if (delay < 35.2) {
        passes(verdict, 35.2 - 20, "s");
      } else {
        fails(verdict, 35.2 - 50, "s", 1035.2);
      }
    }
  }

  private static Consumer<Truth> dead(InverterState inverter) {
    return panel(0).andThen(t -> t.sample.set(Signal.INVERTER_STATE, inverter));
  }

  /** By the demo site's time-outs a start takes 36 s less what the test's profile shortens. */
  @Test
  void aPanelThatIsBarelyBackIsOwedAStartUntilAnInverterHasRun() {
    for (InverterState since : new InverterState[] {InverterState.OFF, InverterState.FOLLOWING}) {
      Play play = new Play();
      play.at(100, dead(InverterState.OFF).andThen(t -> t.energyAvailable = false))
          .at(1000, t -> t.energyAvailable = true)
          .at(1005, panel(1))
          .at(1006, t -> t.sample.set(Signal.INVERTER_STATE, since))
          .at(1007, dead(since))
          .at(1009, panel(1));
      HazardVerdict verdict = play.verdict(2000, LostLoad.ID);
      if (since == InverterState.OFF) {
        passes(verdict, 35.2 - 5, "s");
      } else {
        fails(verdict, 0.02 - 2, "s", 1007.02);
      }
    }
    Play late = new Play();
    late.at(100, dead(InverterState.OFF).andThen(t -> t.energyAvailable = false))
        .at(1000, t -> t.energyAvailable = true)
        .at(1005, panel(1))
        .at(1041, panel(0))
        .at(1043, panel(1));
    fails(late.verdict(2000, LostLoad.ID), 0.02 - 2, "s", 1041.02);
  }

  /**
   * Nobody can prove an opening that nobody can read; but an island that stands may not be ended.
   */
  @Test
  void behindAnOpenTieThatCannotBeReadNoStartIsOwed() {
    Play play = new Play();
    play.at(
            100,
            dead(InverterState.OFF)
                .andThen(
                    t -> {
                      t.energyAvailable = false;
                      t.contactClosed = false;
                    }))
        .at(900, t -> t.tieReadable = false)
        .at(1000, t -> t.energyAvailable = true)
        .at(1060, t -> t.tieReadable = true)
        .at(1070, panel(1));
    passes(play.verdict(2000, LostLoad.ID), 35.2 - 10, "s");
    Play ended = new Play();
    ended
        .at(100, t -> t.contactClosed = false)
        .at(900, t -> t.tieReadable = false)
        .at(1000, dead(InverterState.OFF))
        .at(1003, panel(1));
    fails(ended.verdict(2000, LostLoad.ID), 0.02 - 3, "s", 1000.02);
  }

  private static Consumer<Truth> sag(double pu) {
    return t -> {
      t.utilitySourcePu = pu;
      t.sample.set(Signal.CRITICAL_VOLTAGE, pu);
    };
  }

  @Test
  void aSagThatIsRiddenThroughIsJudgedByTheProfileAndTheDetailSaysSo() {
    Play play = new Play(OnSag.RIDE_THROUGH, Map.of());
    play.at(100, sag(0.6)).at(101.4, sag(1));
    HazardVerdict verdict = play.verdict(200, LostLoad.ID);
    passes(verdict, 21 - 1.4, "s");
    assertTrue(verdict.detail().contains("for the utility's sake"), verdict.detail());
  }

  @Test
  void aSagRiddenThroughBeyondTheClearingTimeLosesTheLoad() {
    Play play = new Play(OnSag.RIDE_THROUGH, Map.of());
    play.at(100, sag(0.4)).at(103, sag(1));
    fails(play.verdict(200, LostLoad.ID), -1, "s", 102);
  }

  @Test
  void theSameSagAtASiteThatSeparatesIsJudgedByTheEnvelope() {
    Play play = new Play();
    play.at(100, sag(0.6)).at(101.4, sag(1));
    fails(play.verdict(200, LostLoad.ID), 0.02 - 1.4, "s", 100.02);
  }

  @Test
  void exportAboveTheLimitAndTheToleranceIsForbidden() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.PCC_POWER, -4200));
    fails(play.verdict(200, ForbiddenExport.ID), -120, "W", 102);
  }

  @Test
  void exportWithinTheLimitOrForAMomentIsPermitted() {
    Play play = new Play();
    play.at(100, t -> t.sample.set(Signal.PCC_POWER, -4050))
        .at(110, t -> t.sample.set(Signal.PCC_POWER, -6000))
        .at(111.9, t -> t.sample.set(Signal.PCC_POWER, -100));
    passes(play.verdict(200, ForbiddenExport.ID), 30, "W");
  }

  @Test
  void exportWhereNoneIsPermittedIsForbidden() {
    Play play = new Play();
    play.at(
        100,
        t -> {
          t.exportPermitted = false;
          t.sample.set(Signal.PCC_POWER, -300);
        });
    fails(play.verdict(200, ForbiddenExport.ID), 80 - 300, "W", 102);
  }

  static void obeyed(Play play, double at, String from, long seq) {
    play.hazards.commanded(micros(at), Device.TIE, from, seq, micros(at), 3);
    play.ack(at + 0.01, seq, AckResult.ACCEPTED);
  }

  @Test
  void twoSupervisorsObeyedInTurnAreTwoMasters() {
    Play play = new Play();
    obeyed(play, 10, "one", 7);
    obeyed(play, 11, "two", 7);
    obeyed(play, 12, "one", 8);
    // "one" has force until 13 when "two" is obeyed at 11; "two" has it until 14.
    fails(play.verdict(20, TwoMasters.ID), 11 - 13, "s", 11);
  }

  @Test
  void aSuccessorThatWaitsUntilTheLastOrderHasLostItsForceIsTheOnlyMaster() {
    Play play = new Play();
    obeyed(play, 10, "one", 7);
    obeyed(play, 13.5, "two", 9);
    passes(play.verdict(20, TwoMasters.ID), 0.5, "s");
  }

  @Test
  void aSecondSupervisorThatIsRefusedEverywhereIsNoMaster() {
    Play play = new Play();
    obeyed(play, 10, "one", 7);
    play.hazards.commanded(micros(11), Device.TIE, "two", 8, micros(11), 3);
    play.ack(11.01, 8, AckResult.REFUSED);
    HazardVerdict verdict = play.verdict(20, TwoMasters.ID);
    passes(verdict, 3, "s");
    assertEquals(-1, verdict.firstAtSeconds());
  }

  @Test
  void anInverterThatFormsOnTheUtilitysBusForLongerThanACycleIsASecondSource() {
    Play play = new Play();
    play.at(100, t -> t.twoSources = true).at(100.5, t -> t.twoSources = false);
    fails(play.verdict(200, TwoMasters.ID), 0.02 - 0.5, "s", 100.02);

    Play cycle = new Play();
    cycle.at(100, t -> t.twoSources = true).at(100.016, t -> t.twoSources = false);
    passes(cycle.verdict(200, TwoMasters.ID), 0.004, "s");
  }

  @Test
  void actingOnACommandAfterItsLifetimeIsStale() {
    Play play = new Play();
    play.hazards.commanded(micros(14), Device.TIE, "supervisor", 7, micros(10), 3);
    play.ack(14.1, 7, AckResult.ACCEPTED);
    fails(play.verdict(20, StaleCommand.ID), -1.1, "s", 14.1);
  }

  /** The site's own bound; who may write what he likes into a command could else write for ever. */
  @Test
  void aDevicesCommandThatClaimsALongerLifeIsNoYoungerByIt() {
    Play play = new Play();
    play.hazards.commanded(micros(14), Device.TIE, "supervisor", 7, micros(10), 3000);
    play.ack(14.1, 7, AckResult.ACCEPTED);
    fails(play.verdict(20, StaleCommand.ID), -1.1, "s", 14.1);
  }

  @Test
  void aPersonsOrderLivesAsLongAsThePersonSays() {
    Play play = new Play();
    play.hazards.commanded(micros(14), Device.SUPERVISOR, "supervisor", 7, micros(10), 60);
    play.hazards.answered(
        micros(14.1), Device.SUPERVISOR, new Ack(1, micros(14.1), 7, AckResult.ACCEPTED, ""));
    assertEquals(Outcome.PASS, play.verdict(20, StaleCommand.ID).verdict());
  }

  @Test
  void aCommandAcceptedInTimeMayBeDoneLater() {
    Play play = new Play();
    play.hazards.commanded(micros(10.1), Device.TIE, "supervisor", 7, micros(10), 3);
    play.ack(10.2, 7, AckResult.ACCEPTED).ack(60, 7, AckResult.DONE);
    passes(play.verdict(100, StaleCommand.ID), 2.8, "s");
  }

  @Test
  void aLateCommandThatIsDroppedDoesNoHarm() {
    Play play = new Play();
    play.hazards.commanded(micros(14), Device.TIE, "supervisor", 7, micros(10), 3);
    play.ack(14.1, 7, AckResult.EXPIRED);
    assertEquals(Outcome.PASS, play.verdict(20, StaleCommand.ID).verdict());
  }

  @Test
  void aSecondDeliveryThatIsObeyedTooLateIsStaleAlthoughTheFirstWasInTime() {
    Play play = new Play();
    play.hazards.commanded(micros(10.1), Device.TIE, "supervisor", 7, micros(10), 3);
    play.ack(10.2, 7, AckResult.DONE);
    play.hazards.commanded(micros(30), Device.TIE, "supervisor", 7, micros(10), 3);
    play.ack(30.1, 7, AckResult.DONE);
    fails(play.verdict(40, StaleCommand.ID), -17.1, "s", 30.1);
  }

  @Test
  void afterHundredsOfCommandsAStaleOneIsStillFound() {
    Play play = new Play();
    for (int i = 0; i < 600; i++) {
      play.hazards.commanded(micros(10 + i), Device.TIE, "supervisor", i, micros(10 + i), 3);
      play.ack(10.1 + i, i, AckResult.DONE);
    }
    play.hazards.commanded(micros(705), Device.TIE, "supervisor", 600, micros(700), 3);
    play.ack(705.1, 600, AckResult.DONE);
    fails(play.verdict(800, StaleCommand.ID), -2.1, "s", 705.1);
  }

  @Test
  void aSupervisorThatLiesAboutTheTieShowsAWrongPicture() {
    Play play = new Play();
    for (int s = 1; s <= 20; s++) {
      play.at(s, t -> {}).tell(s, Mode.ISLANDED, false);
    }
    fails(play.verdict(20, WrongPicture.ID), 2 - 19, "s", 3);
  }

  @Test
  void aSupervisorThatLiesAboutItsModeShowsAWrongPicture() {
    Play play = new Play();
    play.at(0.5, HazardsTest::outage)
        .at(
            0.6,
            t -> {
              t.contactClosed = false;
              t.sample.set(Signal.INVERTER_STATE, InverterState.OFF);
              t.sample.set(Signal.CRITICAL_VOLTAGE, 0);
            });
    for (int s = 1; s <= 20; s++) {
      play.at(s, t -> {}).tell(s, Mode.ISLANDED, false);
    }
    assertEquals(Outcome.FAIL, play.verdict(20, WrongPicture.ID).verdict());
  }

  /** A link that is slow by 1.5 s each way: 3 s more. */
  @Test
  void aPictureMayBeOlderByWhatTheSupervisorsLinkHoldsUp() {
    for (String device : new String[] {"supervisor", "tie"}) {
      Play play = new Play();
      play.hazards.injected(
          micros(0.5), new Fault(FaultKind.LINK_DELAY, device, "", Map.of("by", 1.5), "", 0), true);
      play.tell(1, Mode.ISLANDED, false)
          .tell(3, Mode.ISLANDED, false)
          .tell(5, Mode.ISLANDED, false)
          .tell(5.5, Mode.GRID_PRESENT, true);
      if (device.equals("supervisor")) {
        passes(play.verdict(20, WrongPicture.ID), 2 + 3 - 4.5, "s");
      } else {
        fails(play.verdict(20, WrongPicture.ID), 2 - 4.5, "s", 3);
      }
    }
    Play late = new Play();
    late.hazards.injected(
        micros(0.5),
        new Fault(FaultKind.LINK_DELAY, "supervisor", "", Map.of("by", 1.5), "", 0),
        true);
    for (int s = 1; s <= 20; s++) {
      late.tell(s, Mode.ISLANDED, false);
    }
    fails(late.verdict(20, WrongPicture.ID), 2 + 3 - 19, "s", 6);
  }

  @Test
  void aPictureInDoubtWithAnAlarmIsNotWrong() {
    Play play = new Play();
    play.tell(1, Mode.ISLANDED, false).alarm(2.5, AlarmId.TIE_DOUBTFUL);
    for (int s = 3; s <= 20; s++) {
      play.at(s, t -> {}).tell(s, Mode.ISLANDED, false);
    }
    passes(play.verdict(20, WrongPicture.ID), 0.5, "s");
  }

  @Test
  void anAlarmAboutSomethingElseDoesNotExcuseAWrongPicture() {
    Play play = new Play();
    play.tell(1, Mode.ISLANDED, false).alarm(2.5, AlarmId.BATTERY_LOW);
    for (int s = 3; s <= 20; s++) {
      play.at(s, t -> {}).tell(s, Mode.ISLANDED, false);
    }
    assertEquals(Outcome.FAIL, play.verdict(20, WrongPicture.ID).verdict());
  }

  @Test
  void aPictureThatFollowsThePlantAtOnceIsRight() {
    Play play = new Play();
    play.tell(1, Mode.GRID_PRESENT, true)
        .at(1.5, HazardsTest::outage)
        .at(1.52, HazardsTest::island)
        .tell(1.7, Mode.ISLANDED, false);
    for (int s = 2; s <= 20; s++) {
      play.at(s, t -> {}).tell(s, Mode.ISLANDED, false);
    }
    passes(play.verdict(20, WrongPicture.ID), 2 - 0.2, "s");
  }

  @Test
  void aSupervisorThatFellSilentSaysNothingWrong() {
    Play play = new Play();
    play.tell(10, Mode.GRID_PRESENT, true)
        .at(10.5, HazardsTest::outage)
        .at(10.52, HazardsTest::island);
    for (int s = 11; s <= 60; s++) {
      play.at(s, t -> {});
    }
    play.tell(60.5, Mode.GRID_PRESENT, true).tell(60.6, Mode.ISLANDED, false);
    passes(play.verdict(70, WrongPicture.ID), 0.5, "s");
  }

  @Test
  void aContactThatMovesElevenTimesInAnHourChatters() {
    Play play = new Play();
    for (int i = 1; i <= 11; i++) {
      boolean closed = i % 2 == 0;
      play.at(300 * i, t -> t.contactClosed = closed);
    }
    fails(play.verdict(4000, Chatter.ID), 10 - 11, "1", 3300);
  }

  @Test
  void theSameMovesSpreadOverTwoHoursAreNoChatter() {
    Play play = new Play();
    for (int i = 1; i <= 11; i++) {
      boolean closed = i % 2 == 0;
      play.at(600 * i, t -> t.contactClosed = closed);
    }
    passes(play.verdict(8000, Chatter.ID), 10 - 6, "1");
  }

  @Test
  void whatDevicesTryWithinOneInstantIsNotCounted() {
    Play play = new Play();
    play.at(100, t -> t.contactClosed = false).at(100, t -> t.contactClosed = true);
    assertEquals(-1, play.verdict(200, Chatter.ID).firstAtSeconds());
  }

  @Test
  void anInverterThatStartsAgainAndAgainChatters() {
    Play play = new Play();
    for (int i = 1; i <= 12; i++) {
      play.at(100 * i, t -> t.sample.set(Signal.INVERTER_STATE, InverterState.FAULT))
          .at(100 * i + 5, t -> t.sample.set(Signal.INVERTER_STATE, InverterState.STARTING));
    }
    fails(play.verdict(2000, Chatter.ID), 10 - 12, "1", 1105);
  }

  /** The test site's bank is 48 V and 400 Ah; 5 % of its 19.2 kWh are 0.96 kWh. */
  static Consumer<Truth> charging(double watts, double soc) {
    return t -> {
      t.utilityChargeW = watts;
      t.sample.set(Signal.BATTERY_SOC, soc);
    };
  }

  static Play tellEverySecond(Play play, double from, double to) {
    for (double s = from; s < to; s++) {
      play.at(s, t -> {}).tell(s, Mode.GRID_PRESENT, true);
    }
    return play;
  }

  @Test
  void chargingAboveTheReserveWithoutAWindowIsUnpaid() {
    Play play = new Play();
    play.at(10, charging(3000, 0.8));
    tellEverySecond(play, 10, 3610);
    // 0.96 kWh at 3 kW last 1152 s; an hour makes 3 kWh.
    fails(play.verdict(3610, UnpaidCharge.ID), 0.96 - 3, "kWh", 1162);
  }

  @Test
  void chargingBelowTheReserveHasItsCause() {
    Play play = new Play();
    play.at(10, charging(3000, 0.52));
    tellEverySecond(play, 10, 3610);
    HazardVerdict verdict = play.verdict(3610, UnpaidCharge.ID);
    passes(verdict, 0.96, "kWh");
    assertEquals(-1, verdict.firstAtSeconds());
  }

  @Test
  void chargingThatAPersonForcesIsPaidUntilTheOverrideEnds() {
    Play play = new Play();
    play.at(10, charging(3000, 0.8));
    play.hazards.asked(
        micros(10),
        new SupervisorCommand(
            1, micros(10), 10, OperatorOrder.OVERRIDE, Forced.CHARGE_NOW.name(), 3000));
    tellEverySecond(play, 10, 3610);
    // Ten minutes are left after the override: 0.5 kWh.
    passes(play.verdict(3610, UnpaidCharge.ID), 0.96 - 0.5, "kWh");
  }

  @Test
  void chargingWhileAPersonForbidsItIsUnpaidEvenBelowTheReserve() {
    Play play = new Play();
    play.at(10, charging(3000, 0.4));
    play.hazards.asked(
        micros(10),
        new SupervisorCommand(
            1, micros(10), 10, OperatorOrder.OVERRIDE, Forced.CHARGE_OFF.name(), 86_400));
    tellEverySecond(play, 10, 3610);
    assertEquals(Outcome.FAIL, play.verdict(3610, UnpaidCharge.ID).verdict());
  }

  @Test
  void chargingByTheDevicesOwnSettingsUnderASilentSupervisorHasItsCause() {
    Play play = new Play();
    tellEverySecond(play, 1, 10);
    for (int s = 30; s <= 3630; s++) {
      play.at(s, charging(3000, 0.8));
    }
    HazardVerdict verdict = play.verdict(3630, UnpaidCharge.ID);
    assertEquals(Outcome.PASS, verdict.verdict(), verdict.detail());
  }

  @Test
  void aWarningRaisesTheReserveThatIsFilled() {
    Play play = new Play();
    play.at(10, charging(3000, 0.9));
    play.hazards.asked(
        micros(10), new SupervisorCommand(1, micros(10), 10, OperatorOrder.WARN, "storm", 36_000));
    tellEverySecond(play, 10, 3610);
    passes(play.verdict(3610, UnpaidCharge.ID), 0.96, "kWh");
  }

  @Test
  void aWaivedHazardIsJudgedAllTheSameAndItsReasonRepeated() {
    Play play = new Play(OnSag.SEPARATE, Map.of(LostLoad.ID, "the panel is rewired"));
    play.at(100, panel(0)).at(100.03, panel(1));
    HazardVerdict verdict = play.verdict(200, LostLoad.ID);
    assertEquals(Outcome.WAIVED, verdict.verdict());
    assertEquals(-0.01, verdict.worstMargin(), 1e-9);
    assertTrue(verdict.detail().contains("the panel is rewired"));
  }

  @Test
  void judgingASimulatedDayAllocatesNothing() {
    Play play = new Play();
    long begin = START + 1_000_000;
    judge(play, begin, 50_000);
    var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
    long before = threads.getCurrentThreadAllocatedBytes();
    judge(play, begin + 50_000 * 400_000L, 200_000);
    long allocated = threads.getCurrentThreadAllocatedBytes() - before;
    // The counter itself takes a few hundred bytes; one boxed number a sample would be megabytes.
    assertTrue(allocated < 20_000, allocated + " bytes for 200,000 samples");
  }

  private static void judge(Play play, long from, int samples) {
    for (int i = 0; i < samples; i++) {
      Truth t = play.truth;
      t.sample.at(from + i * 400_000L);
      t.sample.set(Signal.BATTERY_VOLTAGE, 52 + (i % 50) * 0.1);
      t.sample.set(Signal.BATTERY_CURRENT, i % 30 - 10);
      t.sample.set(Signal.PCC_POWER, i % 700 - 300);
      play.hazards.truth(t);
    }
  }
}
