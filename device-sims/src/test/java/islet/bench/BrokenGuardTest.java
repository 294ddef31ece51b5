package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Rehearsals.Spoiler;
import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.fault.FaultKind;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Every scenario that ships passes with the supervisor that ships, and fails when one guard of it
 * is taken away, by the very hazard or expectation that watches that guard. Judged by the plant's
 * truth and the wire; what the supervisor thinks of itself is asked by nobody.
 */
class BrokenGuardTest {

  @ParameterizedTest
  @LongTest
  @ValueSource(
      strings = {
        "charge-window",
        "evening-outage",
        "failed-return",
        "long-outage",
        "planned-island",
        "sag-ride-through",
        "sag-separate",
        "surplus-export",
        "tie-welded",
        "winter-day"
      })
  void theScenarioPasses(String name) {
    RunResult result = Rehearsals.run(Rehearsals.scenario(name));
    assertEquals(List.of(), Rehearsals.failures(result));
    assertFalse(result.expectations().isEmpty(), "nothing was expected");
  }

  /** The failures are among those of the verdict, each named by its beginning. */
  private static void assertFails(RunResult result, String... expected) {
    List<String> failures = Rehearsals.failures(result);
    for (String one : expected) {
      assertTrue(
          failures.stream().anyMatch(f -> f.startsWith(one)), one + " is not among " + failures);
    }
  }

  /** The inverter then waits for the order, a scan or two, instead of taking over by itself. */
  private static final Spoiler NO_ISLAND_PERMIT = (in, now, out) -> out.islandPermit = false;

  @Test
  @LongTest
  void withoutTheIslandPermitTheEmergencyPanelFeelsTheOutage() {
    RunResult result = Rehearsals.spoiled(Rehearsals.scenario("evening-outage"), NO_ISLAND_PERMIT);
    assertFails(result, LostLoad.ID, "signal: critical.voltage_pu, above: 0.9");
    // Down between a scan and half a second; the envelope allows 20 ms.
    double margin = Rehearsals.hazard(result, LostLoad.ID).worstMargin();
    assertTrue(margin < -0.08 && margin > -0.5, "margin " + margin);
  }

  @Test
  void withoutTheIslandPermitTheEmergencyPanelFeelsTheSag() {
    assertFails(
        Rehearsals.spoiled(Rehearsals.scenario("sag-separate"), NO_ISLAND_PERMIT),
        LostLoad.ID,
        "signal: critical.voltage_pu, above: 0.9");
  }

  /** Goes back in step, but before the utility has qualified. */
  private static Spoiler returnsAfter(double seconds) {
    long[] since = {Long.MAX_VALUE};
    return (in, now, out) -> {
      TieTelemetry tie = in.tie();
      boolean back = !tie.closed() && tie.utilityVoltagePu() > 0.9;
      since[0] = back ? Math.min(since[0], now) : Long.MAX_VALUE;
      if (back && now - since[0] >= seconds * 1e6) {
        out.inverter = InverterOrder.SYNCHRONISE;
        out.inverterOrdered = true;
        out.tie = TieOrder.CLOSE;
        out.tieOrdered =
            Math.abs(tie.angleDeg()) < 10
                && Math.abs(tie.utilityFrequencyHz() - tie.islandFrequencyHz()) < 0.15;
      }
    };
  }

  @Test
  @LongTest
  void aReturnAfterAMinuteIsTooEarly() {
    RunResult result = Rehearsals.spoiled(Rehearsals.scenario("evening-outage"), returnsAfter(60));
    assertFails(result, EarlyReturn.ID);
    double margin = Rehearsals.hazard(result, EarlyReturn.ID).worstMargin();
    assertTrue(margin < -200 && margin > -240, "margin " + margin);
  }

  @Test
  @LongTest
  void whoTrustsAReturningUtilityTooSoonClosesOntoADyingLine() {
    assertFails(
        Rehearsals.spoiled(Rehearsals.scenario("failed-return"), returnsAfter(200)),
        EarlyReturn.ID,
        "signal: tie.closed, is: false");
  }

  @Test
  void whoLeavesInASagDoesNotRideItThrough() {
    RunResult result =
        Rehearsals.spoiled(
            Rehearsals.scenario("sag-ride-through"),
            (in, now, out) -> {
              if (out.grid == GridState.RIDING) {
                out.tie = TieOrder.OPEN;
                out.tieOrdered = true;
              }
            });
    assertFails(
        result, "signal: tie.closed, is: true", "signal: supervisor.mode, is: GRID_PRESENT");
  }

  @Test
  void aHoldThatIsNotHungLetsTheTieCloseOnTheWorkers() {
    RunResult result =
        Rehearsals.run(
            Rehearsals.scenario("planned-island"),
            site -> {
              Supervisor good = new SiteSupervisor(site);
              return (in, now, out) -> {
                if (in.operatorAsks() && in.operator().order() == OperatorOrder.HOLD) {
                  in.scanned();
                }
                good.scan(in, now, out);
              };
            });
    assertFails(result, "signal: tie.closed, is: false");
  }

  /** Takes the coil's order for the contact's position: the proof of open is missing. */
  private static void believeTheCoil(Inputs in) {
    TieTelemetry t = in.tie();
    if (!t.orderedClosed()) {
      in.take(
          new TieTelemetry(
              t.seq(),
              t.at(),
              false,
              false,
              t.utilityVoltagePu(),
              t.utilityFrequencyHz(),
              t.islandVoltagePu(),
              t.islandFrequencyHz(),
              t.angleDeg(),
              t.trip(),
              t.held(),
              t.local()),
          in.tieAt());
    }
  }

  @Test
  @LongTest
  void whoTakesTheCoilForTheContactGivesAWrongPictureOfAWeldedTie() {
    RunResult result =
        Rehearsals.run(
            Rehearsals.scenario("tie-welded"),
            site -> {
              Supervisor good = new SiteSupervisor(site);
              return (in, now, out) -> {
                believeTheCoil(in);
                good.scan(in, now, out);
              };
            });
    assertFails(result, WrongPicture.ID, "alarm: tie-not-open");
  }

  private static final Spoiler FORMS_WHATEVER_THE_CONTACT_SAYS =
      (in, now, out) -> {
        if (in.tie().utilityVoltagePu() < 0.5 || out.mode == Mode.HELD) {
          out.inverter = InverterOrder.FORM;
          out.inverterOrdered = true;
          out.islandPermit = true;
        }
      };

  /** The second line of defence is in the inverter: the contact is wired to it. */
  @Test
  @LongTest
  void anInverterBehindATrueContactFormsForNobodyWhileTheTieIsWelded() {
    RunResult result =
        Rehearsals.spoiled(Rehearsals.scenario("tie-welded"), FORMS_WHATEVER_THE_CONTACT_SAYS);
    assertEquals(Outcome.PASS, Rehearsals.hazard(result, Backfeed.ID).verdict());
  }

  private static Scenario weldedBehindALyingContact() {
    return Rehearsals.with(
        Rehearsals.scenario("tie-welded"),
        new Event.Fault(7_199_999_999L, FaultKind.AUX_CONTACT_LIES, "tie", "", Map.of(), "", 0));
  }

  @Test
  void behindALyingContactWhoGoesOnFormingFeedsTheDeadLine() {
    RunResult result =
        Rehearsals.spoiled(weldedBehindALyingContact(), FORMS_WHATEVER_THE_CONTACT_SAYS);
    assertFails(result, Backfeed.ID, "signal: critical.voltage_pu, below: 0.1");
    // The inverter bears the neighbours' load for its 5 s of surge; 2 s are allowed.
    assertEquals(-3, Rehearsals.hazard(result, Backfeed.ID).worstMargin(), 0.1);
  }

  @Test
  @LongTest
  void behindALyingContactOurOwnSupervisorStopsInTime() {
    RunResult result = Rehearsals.run(weldedBehindALyingContact());
    for (HazardVerdict hazard : result.hazards()) {
      assertEquals(Outcome.PASS, hazard.verdict(), hazard.detail());
    }
    assertTrue(result.alarms().stream().anyMatch(a -> a.id().equals("tie-doubtful")));
  }

  @Test
  @LongTest
  void whoNeverFeedsDoesNotExportTheSurplus() {
    assertFails(
        Rehearsals.spoiled(
            Rehearsals.scenario("surplus-export"), (in, now, out) -> out.feedLimitW = 0),
        "signal: pcc.power_W, below: 0");
  }

  /** The charger goes up to 64 V; the bank bears 61.2 V. */
  @Test
  @LongTest
  void whoForgetsTheBatterysVoltageOverchargesIt() {
    RunResult result =
        Rehearsals.spoiled(
            Rehearsals.scenario("charge-window"),
            (in, now, out) -> {
              out.chargeLimitA = out.inverter == InverterOrder.FOLLOW ? 60 : 0;
              out.chargeVoltageV = 64;
            });
    assertFails(result, Overcharge.ID);
    HazardVerdict overcharge = Rehearsals.hazard(result, Overcharge.ID);
    assertEquals("V", overcharge.unit());
    assertEquals(61.2 - 64, overcharge.worstMargin(), 0.3);
  }

  @Test
  @LongTest
  void whoNeverChargesIsNotReadyInTheMorning() {
    assertFails(
        Rehearsals.spoiled(
            Rehearsals.scenario("charge-window"), (in, now, out) -> out.chargeLimitA = 0),
        "signal: battery.soc, above: 0.84");
  }

  @Test
  @LongTest
  void whoIgnoresTheWindowChargesBeforeMidnightAndTooFar() {
    assertFails(
        Rehearsals.spoiled(
            Rehearsals.scenario("charge-window"),
            (in, now, out) -> out.chargeLimitA = out.inverter == InverterOrder.FOLLOW ? 40 : 0),
        "signal: battery.current_A, below: 1",
        "signal: battery.soc, below: 0.87");
  }

  @Test
  @LongTest
  void whoNeverShedsIsInTheDarkHoursEarlier() {
    assertFails(
        Rehearsals.spoiled(Rehearsals.scenario("long-outage"), (in, now, out) -> out.shedCount = 0),
        "signal: supervisor.mode, is: ISLANDED, after: PT1H1S");
  }

  @Test
  @LongTest
  void whoIgnoresTheFloorDischargesTheBatteryBelowIt() {
    assertFails(
        Rehearsals.spoiled(
            Rehearsals.scenario("long-outage"),
            (in, now, out) -> {
              if (out.mode == Mode.DARK && !in.tie().closed()) {
                out.inverter = InverterOrder.FORM;
                out.inverterOrdered = true;
                out.islandPermit = true;
              }
            }),
        DeepDischarge.ID,
        WrongPicture.ID,
        "signal: battery.soc, above: 0.18");
  }

  @Test
  void aSupervisorThatLiesShowsAWrongPictureAndNothingElseChanges() {
    Scenario scenario = Rehearsals.scenario("sag-separate");
    RunResult honest = Rehearsals.run(scenario);
    RunResult lying = Rehearsals.spoiled(scenario, (in, now, out) -> out.mode = Mode.GRID_PRESENT);
    HazardVerdict picture = Rehearsals.hazard(lying, WrongPicture.ID);
    assertEquals(Outcome.FAIL, picture.verdict());
    assertTrue(picture.detail().contains("told GRID_PRESENT with the tie's contact open"));
    assertFails(lying, WrongPicture.ID);
    assertEquals(others(honest), others(lying));
    assertEquals(honest.energy(), lying.energy());
    assertEquals(signals(honest), signals(lying));
  }

  private static List<HazardVerdict> others(RunResult result) {
    return result.hazards().stream().filter(h -> !h.id().equals(WrongPicture.ID)).toList();
  }

  /** Expectations on the plant; those on the supervisor's mode follow what it said on the wire. */
  private static List<RunResult.ExpectationVerdict> signals(RunResult result) {
    return result.expectations().stream().filter(e -> e.text().startsWith("signal")).toList();
  }

  @ParameterizedTest
  @ValueSource(strings = {"DARK", "ISLANDED"})
  void aLieOnTheWireIsSeenWhoeverTellsIt(String claim) {
    Scenario scenario = Rehearsals.scenario("sag-ride-through");
    RunResult result =
        Rehearsals.run(
            Rehearsals.with(
                scenario,
                new Event.Fault(
                    600_000_000L,
                    FaultKind.SUPERVISOR_LIES,
                    "supervisor",
                    "",
                    Map.of(),
                    claim,
                    60_000_000L)));
    assertFails(result, WrongPicture.ID);
    assertEquals(600, Rehearsals.hazard(result, WrongPicture.ID).firstAtSeconds(), 5);
  }

  /** The tie's own check of step stands behind the supervisor's. */
  @Test
  @LongTest
  void aCloseAtOnceIsTooEarlyButNeverOutOfStep() {
    RunResult result =
        Rehearsals.spoiled(
            Rehearsals.scenario("sag-separate"),
            (in, now, out) -> {
              if (!in.tie().closed()) {
                out.tie = TieOrder.CLOSE;
                out.tieOrdered = true;
              }
            });
    assertFails(result, EarlyReturn.ID);
    assertEquals(Outcome.PASS, Rehearsals.hazard(result, OutOfSyncClose.ID).verdict());
  }

  private static Event.Fault linkLost(FaultKind kind, String device, double seconds) {
    return new Event.Fault(
        1_200_000_000L, kind, device, "", Map.of(), "", Math.round(seconds * 1e6));
  }

  private static RunResult inAnIsland(Event.Fault fault) {
    return Rehearsals.run(
        Rehearsals.happening(
            Rehearsals.scenario("evening-outage"),
            List.of(new Event.Outage(600_000_000L, 1_800_000_000L), fault),
            3_600));
  }

  /** An island stands by itself; whoever loses the link, the emergency panel must not feel it. */
  @ParameterizedTest
  @ValueSource(doubles = {2, 5, 7.4, 20, 120})
  void anIslandOutlivesALostLinkOfTheSupervisor(double seconds) {
    RunResult result = inAnIsland(linkLost(FaultKind.SUPERVISOR_LINK_LOST, "supervisor", seconds));
    assertEquals(Outcome.PASS, Rehearsals.hazard(result, LostLoad.ID).verdict());
    assertEquals(List.of(), Rehearsals.failures(result));
    // It goes on by itself: no person is needed.
    RunResult.Transition last = result.transitions().get(result.transitions().size() - 1);
    assertEquals(Mode.GRID_PRESENT.name(), last.to());
  }

  @Test
  @LongTest
  void anIslandOutlivesALostLinkOfEachDevice() {
    for (String device : Arrays.asList("inverter", "tie", "meter", "regulator")) {
      for (double seconds : new double[] {5, 20, 120}) {
        RunResult result = inAnIsland(linkLost(FaultKind.DEVICE_LINK_LOST, device, seconds));
        assertEquals(List.of(), Rehearsals.failures(result), device + " for " + seconds + " s");
      }
    }
  }

  @Test
  void anIslandOutlivesASupervisorThatStandsStill() {
    RunResult result = inAnIsland(linkLost(FaultKind.SUPERVISOR_PAUSE, "supervisor", 60));
    assertEquals(List.of(), Rehearsals.failures(result));
  }
}
