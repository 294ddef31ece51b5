package islet.control;

import static islet.control.Scene.NOW;
import static islet.control.Scene.OLDEST;
import static islet.control.Scene.SECOND;
import static islet.control.Scene.STALE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.GridState;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.site.Site;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Every question of the mode machine, in a scene in which the answer is yes, and then with one
 * thing changed that must make it no: each proof that the interlocks ask for is needed by itself.
 * Judged by the design's rules (an island behind a proven open tie only; a close only when
 * qualified, unheld and in step or onto a dead panel; what is not heard counts as the dangerous
 * case), by the times in the site's file, and by half the limits of IEEE Std 1547-2018, Table 5
 * (0.1 pu, 0.3 Hz, 20°, from memory).
 */
class SituationTest {

  private static final Site TIED = Sites.demo();
  private static final Site AUTOMATIC = Sites.named("ferry-landing-changeover");
  private static final Site BY_HAND = Sites.named("boat-shed");
  private static final Site SWITCHLESS = Sites.named("ferry-landing-charger-only");
  private static final Site NOT_FEEDING = Sites.named("ferry-landing-inverter-charger");
  private static final Site BATTERY_FIRST =
      Sites.named(
          "ferry-landing-changeover",
          "changeover.prefer",
          "battery",
          "changeover.batteryAbove",
          "75 %");

  /** A question whose answer is yes in a scene. */
  private record Asked(Site site, Consumer<Scene> base, Predicate<Situation> question) {

    private boolean answer(Consumer<Scene> change) {
      Scene scene = new Scene(site);
      base.accept(scene);
      change.accept(scene);
      return question.test(scene.observed());
    }

    Asked not(String when, Consumer<Scene> change) {
      assertFalse(answer(change), when);
      return this;
    }

    Asked still(String when, Consumer<Scene> change) {
      assertTrue(answer(change), when);
      return this;
    }
  }

  private static Asked yes(Site site, Consumer<Scene> base, Predicate<Situation> question) {
    Asked asked = new Asked(site, base, question);
    assertTrue(asked.answer(s -> {}), "the scene itself");
    return asked;
  }

  // What is asked at the start.

  private static final long PATIENCE = 15 * SECOND;

  /** For half of the start's time-out everybody is waited for. */
  private static Asked needsEveryReport(
      Site site, Consumer<Scene> base, Predicate<Situation> question) {
    return yes(site, base.andThen(s -> entered(s, PATIENCE)), question)
        .not("regulator silent", s -> s.regulatorAge = STALE)
        .not("meter silent", s -> s.meterAge = STALE)
        .not("inverter silent", s -> s.inverterAge = STALE)
        .not("tie silent", s -> s.tieAge = STALE)
        .not("charge unknown", s -> s.volts = s.soc = -1)
        .still("three seconds ago is heard", s -> s.regulatorAge = OLDEST)
        .still("three seconds ago is heard", s -> s.meterAge = OLDEST)
        .still("all three seconds ago", s -> s.tieAge = s.inverterAge = OLDEST);
  }

  /** Then it goes on without who only charges, and without one of two witnesses. */
  private static Asked goesOnWithout(
      Site site, Consumer<Scene> base, Predicate<Situation> question) {
    return yes(site, base.andThen(s -> entered(s, PATIENCE + 1)), question)
        .still("regulator silent", s -> s.regulatorAge = STALE)
        .still("meter silent", s -> s.meterAge = STALE)
        .not("tie silent", s -> s.tieAge = STALE)
        .not("charge unknown", s -> s.volts = s.soc = -1)
        .not("no witness", s -> s.inverterAge = s.meterAge = STALE);
  }

  private static void entered(Scene s, long ago) {
    s.before.with("entered", NOW - ago);
  }

  @Test
  void reportsContradictWhenTheInverterFormsBehindAClosedTie() {
    goesOnWithout(TIED, s -> s.contactClosed = true, Situation::contradiction)
        .not("the inverter's word is old", s -> s.inverterAge = STALE);
    needsEveryReport(TIED, s -> s.contactClosed = true, Situation::contradiction)
        .still("synchronising forms too", s -> s.inverter = InverterState.SYNCHRONISING)
        .not("open", s -> s.contactClosed = false)
        .not("follows", s -> s.inverter = InverterState.FOLLOWING)
        .still("the tie's word is half a second older", s -> s.tieAge = SECOND / 2)
        .not("the tie's word is old news", s -> s.tieAge = SECOND / 2 + 1);
    assertFalse(new Scene(AUTOMATIC).observed().contradiction(), "a changeover keeps them apart");
  }

  @Test
  void anIslandIsFoundWhenAllReportATieOpenAndAnInverterForming() {
    goesOnWithout(TIED, s -> {}, Situation::foundIslanded)
        .not("nobody says that it forms", s -> s.inverterAge = STALE);
    yes(TIED, s -> s.inverterAge = STALE, Situation::foundCarriedAtStart)
        .not("everybody is waited for", s -> entered(s, PATIENCE))
        .not("closed", s -> s.contactClosed = true)
        .not("dead", s -> s.panelPu = s.criticalPu = 0)
        .not("empty", s -> s.soc = 0.1);
    needsEveryReport(TIED, s -> {}, Situation::foundIslanded)
        .not("closed", s -> s.contactClosed = true)
        .not("does not form", s -> s.inverter = InverterState.OFF);
    yes(AUTOMATIC, s -> entered(s, PATIENCE), Situation::foundIslanded)
        .not("its charger silent", s -> s.chargerAge = STALE);
    yes(AUTOMATIC, s -> entered(s, PATIENCE + 1), Situation::foundIslanded)
        .still("its charger silent", s -> s.chargerAge = STALE);
    yes(SWITCHLESS, s -> {}, Situation::foundIslanded)
        .still("no switch is waited for", s -> s.tieAge = STALE);
  }

  @Test
  void aConnectionIsFoundWhenAllReportATieClosedAndAUtilityPresent() {
    goesOnWithout(TIED, Scene::connected, Situation::foundConnected)
        .still("behind a closed tie it follows", s -> s.inverterAge = STALE);
    needsEveryReport(TIED, Scene::connected, Situation::foundConnected)
        .not("open", s -> s.contactClosed = false)
        .not("utility gone", s -> s.grid = GridState.GONE)
        .not("utility unknown", s -> s.grid = GridState.UNKNOWN)
        .still("riding through", s -> s.grid = GridState.RIDING)
        .not("forms", s -> s.inverter = InverterState.FORMING)
        .not("sides differ", s -> s.panelPu = s.criticalPu = 0.6);
    yes(
            AUTOMATIC,
            s -> {
              s.connected();
              s.inverter = InverterState.FORMING;
              s.acHz = 60.05;
            },
            Situation::foundConnected)
        .not("the panel lives at the inverter's frequency", s -> s.panelHz = 60.05);
  }

  @Test
  void twoSidesOfAClosedSwitchMayDifferByLessThanAThird() {
    yes(TIED, Scene::connected, Situation::foundConnected)
        .still("0.3 pu to the digit", s -> shares(s, 0.3, 0))
        .not("above", s -> shares(s, 0.301, 0))
        .not("the other way", s -> shares(s, 0.3, 0.7));
  }

  private static void shares(Scene s, double sidePu, double panelPu) {
    s.sidePu = sidePu;
    s.panelPu = s.criticalPu = s.acPu = panelPu;
  }

  @Test
  void aLostUtilityIsFoundBehindAClosedSwitchThatOrdersMove() {
    Consumer<Scene> lost =
        s -> {
          s.connected();
          s.grid = GridState.GONE;
        };
    goesOnWithout(TIED, lost, Situation::foundLost)
        .still("the tie sees it", s -> s.inverterAge = STALE);
    needsEveryReport(TIED, lost, Situation::foundLost)
        .still("out of limits", s -> s.grid = GridState.OUT)
        .not("open", s -> s.contactClosed = false)
        .not("present", s -> s.grid = GridState.RETURNING)
        .not("unknown", s -> s.grid = GridState.UNKNOWN);
    Consumer<Scene> stranded =
        lost.andThen(
            s -> {
              s.inverter = InverterState.OFF;
              shares(s, 0, 0);
            });
    yes(BY_HAND, stranded, Situation::strandedByHand)
        .not("lost and moved to the inverter", s -> s.contactClosed = false)
        .not("the utility is there", s -> s.grid = GridState.RETURNING)
        .not("not heard", s -> s.tieAge = STALE);
    Scene byHand = new Scene(BY_HAND);
    stranded.accept(byHand);
    assertFalse(byHand.observed().foundLost());
    Scene automatic = new Scene(AUTOMATIC);
    stranded.accept(automatic);
    assertFalse(automatic.observed().strandedByHand());
  }

  @Test
  void darknessIsFoundWhenTheTieIsOpenAndNobodyForms() {
    goesOnWithout(TIED, Scene::dark, Situation::foundDark)
        .still("tie and meter see it", s -> s.inverterAge = STALE)
        .not(
            "not heard, and both see the panel live",
            s -> {
              s.inverterAge = STALE;
              s.panelPu = s.criticalPu = 0.1;
            });
    needsEveryReport(TIED, Scene::dark, Situation::foundDark)
        .not("closed", s -> s.contactClosed = true)
        .not("forms", s -> s.inverter = InverterState.FORMING);
  }

  @Test
  void aStartLastsTooLongWhileItStillListens() {
    Consumer<Scene> listens =
        s -> s.before.with("phase", Phase.LISTEN).with("entered", NOW - 30 * SECOND - 1);
    yes(TIED, listens, Situation::startTimedOut)
        .not("to the microsecond", s -> s.before.with("entered", NOW - 30 * SECOND))
        .not("started", s -> s.before.with("phase", Phase.CONNECTED));
  }

  /** The time to open is 1 s, the link may be silent for 10 s. */
  @Test
  void anOpeningHasTakenTooLongWhenTheTieSaysSoOrHasBeenSilentForLong() {
    yes(TIED, s -> s.before.with("entered", NOW - SECOND - 1), Situation::openTimedOut)
        .not("to the microsecond", s -> s.before.with("entered", NOW - SECOND))
        .still("told of the later half", s -> s.tieAge = SECOND / 2)
        .not("told of an earlier time", s -> s.tieAge = SECOND / 2 + 1);
    yes(
            TIED,
            s -> {
              s.before.with("entered", NOW - 11 * SECOND - 1);
              s.tieAge = 11 * SECOND;
            },
            Situation::openTimedOut)
        .not("to the microsecond", s -> s.before.with("entered", NOW - 11 * SECOND));
  }

  @Test
  void whileNobodyIsHeardNoTimeRuns() {
    Consumer<Scene> forming =
        s -> s.before.with("phase", Phase.FORM).with("entered", NOW - 6 * SECOND);
    yes(TIED, forming, Situation::formTimedOut)
        .still("one device is heard", s -> silence(s, () -> s.meterAge = 0))
        .not("nobody", s -> silence(s, () -> {}));
    Consumer<Scene> listening =
        s -> s.before.with("phase", Phase.LISTEN).with("entered", NOW - 31 * SECOND);
    yes(TIED, listening, Situation::startTimedOut).still("nobody", s -> silence(s, () -> {}));
  }

  @Test
  void eachStepHasItsOwnLongestTime() {
    outlasts(Situation::formTimedOut, 5);
    outlasts(Situation::synchroniseTimedOut, 120);
    outlasts(Situation::closeTimedOut, 1);
    outlasts(Situation::unloadTimedOut, TIED.supervision().timeouts().unloadS());
  }

  private static void outlasts(Predicate<Situation> question, double seconds) {
    long micros = Math.round(seconds * SECOND);
    yes(TIED, s -> s.before.with("entered", NOW - micros - 1), question)
        .not("to the microsecond", s -> s.before.with("entered", NOW - micros));
  }

  // Who carries the panel.

  /** Three witnesses: the middle of three, the higher of two, the one; none sees nothing. */
  @ParameterizedTest
  @CsvSource({
    "1, 1, 1, true",
    "1, 1, 0, true",
    "1, 0, 1, true",
    "0, 1, 1, true",
    "1, 0, 0, false",
    "0, 1, 0, false",
    "0, 0, 1, false",
    "0.85, 0.85, 0, true",
    "0.84, 0.84, 1, false",
    ", 1, 0, true",
    ", 0, 1, true",
    ", 0, 0, false",
    "1, , 0, true",
    "0, , 1, true",
    "0, , 0, false",
    ", , 1, true",
    ", , 0, false",
  })
  void aPanelLivesByItsWitnesses(Double tie, Double meter, double inverter, boolean alive) {
    Scene scene = new Scene(TIED);
    scene.tieAge = tie == null ? STALE : 0;
    scene.panelPu = tie == null ? 0.5 : tie;
    scene.meterAge = meter == null ? STALE : 0;
    scene.criticalPu = meter == null ? 0.5 : meter;
    scene.acPu = inverter;
    assertEquals(alive, scene.observed().islandAlive());
  }

  @Test
  void anInverterThatIsNotHeardIsNoWitnessEither() {
    yes(TIED, s -> s.inverterAge = STALE, Situation::foundCarried)
        .still("the higher of two", s -> s.criticalPu = 0)
        .still("the higher of two", s -> s.panelPu = s.acPu = 0)
        .not("both see it dead", s -> s.panelPu = s.criticalPu = 0)
        .not("tie silent", s -> s.tieAge = STALE)
        .not("tie closed", s -> s.contactClosed = true)
        .not("inverter heard", s -> s.inverterAge = OLDEST)
        .not("battery empty", s -> s.soc = 0.2);
    yes(TIED, s -> s.inverterAge = STALE, Situation::islandAlive)
        .still("however empty", s -> s.soc = 0.2)
        .not("at 84 %", s -> s.panelPu = s.criticalPu = 0.84)
        .not("tie closed", s -> s.contactClosed = true);
  }

  @Test
  void anInverterThatFormsBehindASilentTieIsBelievedForItsWiredInterlock() {
    Asked asked = yes(TIED, s -> s.tieAge = STALE, Situation::carriedBehindSilentTie);
    asked
        .not("does not form", s -> s.inverter = InverterState.FOLLOWING)
        .not("panel dead", s -> s.acPu = s.criticalPu = 0)
        .still("said closed, but long before", s -> says(s, true, SECOND / 2 + 1))
        .not("said closed just now", s -> says(s, true, SECOND / 2))
        .not("says open", s -> says(s, false, SECOND));
    yes(TIED, s -> s.tieAge = STALE, Situation::tieOpened)
        .still("says open", s -> says(s, false, 0))
        .not("says closed", s -> says(s, true, 0));
    assertFalse(
        new Asked(AUTOMATIC, s -> s.tieAge = STALE, Situation::carriedBehindSilentTie)
            .answer(s -> {}));
  }

  private static void says(Scene s, boolean closed, long age) {
    s.contactClosed = closed;
    s.tieAge = age;
  }

  /** Behind a changeover switch the panel's voltage tells its source, whatever the contact says. */
  @Test
  void aChangeoversPanelTellsWhereItStands() {
    Consumer<Scene> lies = s -> s.contactClosed = true;
    yes(AUTOMATIC, lies, Situation::contactContradicted)
        .not("a tie has nothing but its contact, so ask a tie", s -> s.contactClosed = false)
        .not("panel dead: the contact is all there is", s -> s.panelPu = 0)
        .not("84 % is not alive", s -> s.panelPu = 0.84)
        .still("85 % is", s -> s.panelPu = 0.85)
        .not("switch silent", s -> s.tieAge = STALE)
        .not("inverter silent", s -> s.inverterAge = STALE)
        .not("nobody gives it: the contact counts", s -> s.inverter = InverterState.OFF);
    Consumer<Scene> onUtility =
        s -> {
          s.contactClosed = false;
          s.inverter = InverterState.OFF;
          s.sidePu = 1;
          s.sideHz = 60;
          s.panelHz = 60;
        };
    yes(AUTOMATIC, onUtility, Situation::contactContradicted)
        .still("a utility at a tenth", s -> s.sidePu = 0.1)
        .not("below it is dead", s -> s.sidePu = 0.09);
    // Both live: the panel has the frequency of the one that feeds it.
    Consumer<Scene> both =
        onUtility.andThen(
            s -> {
              s.inverter = InverterState.FORMING;
              s.acHz = 60.3;
            });
    yes(AUTOMATIC, both, Situation::contactContradicted)
        .still("nearer to the utility's", s -> s.panelHz = 60.14)
        .not("nearer to the inverter's", s -> s.panelHz = 60.16)
        .not("beyond the inverter's", s -> s.panelHz = 60.4)
        .still("below the utility's", s -> s.panelHz = 59.9)
        .not("frequencies too near to tell", s -> s.acHz = 60.019)
        .still("far enough to tell", s -> s.acHz = 60.021);
    assertFalse(new Asked(TIED, both, Situation::contactContradicted).answer(s -> {}));
    assertFalse(new Asked(SWITCHLESS, both, Situation::contactContradicted).answer(s -> {}));
  }

  @Test
  void exactlyBetweenTheTwoFrequenciesAndWithTwentyMillihertzTheUtilityIsTaken() {
    Consumer<Scene> scene =
        s -> {
          s.contactClosed = false;
          s.sidePu = 1;
          s.sideHz = 60;
          s.acHz = 60.5;
          s.panelHz = 60.25;
        };
    yes(AUTOMATIC, scene, Situation::contactContradicted);
  }

  @Test
  void aChangeoverThatHasMovedToALivingUtilityIsSeen() {
    yes(AUTOMATIC, Scene::connected, Situation::movedToUtility)
        .not("stands on the inverter", s -> says(s, false, STALE))
        .not("utility gone", s -> s.grid = GridState.GONE)
        .not("sides differ", s -> s.criticalPu = s.acPu = 0.5);
    assertFalse(new Asked(TIED, Scene::connected, Situation::movedToUtility).answer(s -> {}));
  }

  // Time that something has held.

  @Test
  void aClosedContactWithTwoVoltagesLiesAfterASecond() {
    Consumer<Scene> lies =
        s -> {
          s.connected();
          shares(s, 1, 0);
          s.before.with("sides differ", NOW - SECOND);
        };
    yes(TIED, lies, Situation::contactLies)
        .not("a moment less", s -> s.before.with("sides differ", NOW - SECOND + 1))
        .not("only now", s -> s.before.with("sides differ", Long.MAX_VALUE))
        .not("alike again", s -> shares(s, 1, 1));
  }

  @Test
  void withoutABatteryVoltageOneIsBlindAfterFivePeriodsAndTheStart() {
    Consumer<Scene> blind =
        s -> {
          s.volts = 0;
          s.before.with("blind", NOW - 5 * SECOND);
        };
    yes(TIED, blind, Situation::blind)
        .not("a moment less", s -> s.before.with("blind", NOW - 5 * SECOND + 1))
        .not("only now", s -> s.before.with("blind", Long.MAX_VALUE))
        .not("a voltage", s -> s.volts = 1)
        .not("still in the time to start", s -> s.before.with("entered", NOW - 30 * SECOND))
        .still("the inverter is heard", s -> silence(s, () -> s.inverterAge = 0))
        .not("the inverter is not", s -> silence(s, () -> s.regulatorAge = 0))
        .not("the inverter is not", s -> silence(s, () -> s.tieAge = 0))
        .not("the inverter is not", s -> silence(s, () -> s.meterAge = 0))
        .not("cut off from all", s -> silence(s, () -> {}));
  }

  private static void silence(Scene s, Runnable but) {
    s.regulatorAge = s.inverterAge = s.tieAge = s.meterAge = s.chargerAge = STALE;
    but.run();
  }

  @Test
  void anInverterThatIsSeenNotFormingIsNotWaitedForLongerThanItMayTake() {
    Consumer<Scene> off =
        s -> {
          s.dark();
          s.before.with("not forming", NOW - 5 * SECOND - 1);
        };
    yes(TIED, off, Situation::notFormingForLong)
        .not("a moment less", s -> s.before.with("not forming", NOW - 5 * SECOND))
        .not("only now", s -> s.before.with("not forming", Long.MAX_VALUE))
        .not("forms", s -> s.inverter = InverterState.FORMING)
        .still("silent, and the tie sees a dead panel", s -> silentOver(s, 0.09, 1))
        .still("silent, and the meter sees a dead panel", s -> silentOver(s, 1, 0.09))
        .not("silent, and both see a tenth", s -> silentOver(s, 0.1, 0.1))
        .not("silent, and nobody looks", s -> silence(s, () -> {}))
        .not(
            "silent, and only a silent tie saw it dead",
            s -> {
              silentOver(s, 0, 1);
              s.tieAge = STALE;
            })
        .not(
            "silent, and only a silent meter saw it dead",
            s -> {
              silentOver(s, 1, 0);
              s.meterAge = STALE;
            });
  }

  private static void silentOver(Scene s, double tiePu, double meterPu) {
    s.inverterAge = STALE;
    s.panelPu = tiePu;
    s.criticalPu = meterPu;
  }

  @Test
  void inStepMeansForThreeTenthsOfASecondOnEndWithinHalfTheLimits() {
    yes(TIED, Scene::inStep, Situation::inStep)
        .still("0.3 s", s -> s.before.with("in step", NOW - 300_000))
        .not("a moment less", s -> s.before.with("in step", NOW - 299_999))
        .not("only now", s -> s.before.with("in step", Long.MAX_VALUE))
        .not("forms by itself", s -> s.inverter = InverterState.FORMING)
        .not("closed", s -> s.contactClosed = true)
        .not("not heard", s -> s.tieAge = STALE)
        .not("voltages differ", s -> s.panelPu = 0.949)
        .still("voltages differ little", s -> s.panelPu = 0.951)
        .not("frequencies differ", s -> s.panelHz = 60.151)
        .still("frequencies differ little", s -> s.panelHz = 60.149)
        .not("angle ahead", s -> s.angleDeg = 10.001)
        .still("at the angle's limit", s -> s.angleDeg = 10)
        .not("angle behind", s -> s.angleDeg = -10.001)
        .not("two dead sides are not in step", s -> s.sidePu = s.panelPu = 0.05)
        .not("a tenth is dead", s -> s.sidePu = s.panelPu = 0.1)
        .not("a dead line", s -> sides(s, 0.1, 0.12))
        .not("a dead panel", s -> sides(s, 0.12, 0.1));
    yes(TIED, Scene::inStep, s -> !s.outOfStep())
        .not("angle ahead", s -> s.angleDeg = 11)
        .still("closed meanwhile", s -> says(s, true, 0))
        .still(
            "closed meanwhile, at any angle",
            s -> {
              s.contactClosed = true;
              s.angleDeg = 90;
            });
    yes(AUTOMATIC, s -> {}, Situation::inStep).not("closed", s -> silenceTie(s));
    assertFalse(new Scene(AUTOMATIC).observed().outOfStep());
  }

  private static void silenceTie(Scene s) {
    s.tieAge = STALE;
  }

  private static void sides(Scene s, double side, double panel) {
    s.sidePu = side;
    s.panelPu = panel;
  }

  // Leaving.

  private static Consumer<Scene> wantsToLeave() {
    return s -> {
      s.connected();
      s.before.with("island asked", true);
    };
  }

  @Test
  void onRequestTheUtilityIsLeftByWhoCanCarry() {
    yes(TIED, wantsToLeave(), Situation::mayLeaveAsAsked)
        .not("the inverter does not run yet", s -> s.inverter = InverterState.OFF)
        .not("it starts", s -> s.inverter = InverterState.STARTING)
        .not("not asked", s -> s.before.with("island asked", false))
        .not("battery empty", SituationTest::empty)
        .not("not closed", s -> s.contactClosed = false)
        .not("tie not heard", s -> s.tieAge = STALE)
        .not("inverter not heard", s -> s.inverterAge = STALE)
        .not("inverter tripped", s -> s.inverter = InverterState.FAULT);
    yes(TIED, wantsToLeave(), s -> !s.mayNotLeaveAsAsked())
        .not("not asked", s -> s.before.with("island asked", false));
    assertFalse(new Asked(BY_HAND, wantsToLeave(), Situation::mayLeaveAsAsked).answer(s -> {}));
  }

  private static void empty(Scene s) {
    s.soc = 0.2;
  }

  @Test
  void theTieIsUnloadedFirstByAnInverterThatMayFeedAndIsThroughItsRamp() {
    yes(TIED, wantsToLeave(), Situation::mayUnloadAsAsked)
        .not("not asked", s -> s.before.with("island asked", false))
        .not("in the ramp", s -> s.before.with("ramp", NOW - 299 * SECOND))
        .still("ramp over", s -> s.before.with("ramp", NOW - 300 * SECOND))
        .not("no battery voltage", s -> s.volts = 0)
        .not("meter silent", s -> s.meterAge = STALE);
    assertFalse(
        new Asked(NOT_FEEDING, wantsToLeave(), Situation::mayUnloadAsAsked).answer(s -> {}));
    yes(TIED, wantsToLeave(), Situation::leavesUnloaded)
        .not("not asked", s -> s.before.with("island asked", false))
        .not("utility lost", s -> s.grid = GridState.GONE)
        .not("open already", s -> s.contactClosed = false)
        .not("in the ramp", s -> s.before.with("ramp", NOW - SECOND));
  }

  @Test
  void aTieIsUnloadedWhenDrawAndFeedMatchToTwoHundredthsForASecond() {
    Consumer<Scene> unloaded =
        wantsToLeave()
            .andThen(
                s -> {
                  s.criticalW = 900;
                  s.acPowerW = 900;
                  s.before.with("phase", Phase.UNLOAD_TIE).with("unloaded", NOW - SECOND);
                });
    yes(TIED, unloaded, Situation::tieUnloaded)
        .still("80 W of 4 kW less", s -> s.acPowerW = 820)
        .not("a watt more", s -> s.acPowerW = 819)
        .still("80 W more", s -> s.acPowerW = 980)
        .not("81 W more", s -> s.acPowerW = 981)
        .not("a moment less", s -> s.before.with("unloaded", NOW - SECOND + 1))
        .not("only now", s -> s.before.with("unloaded", Long.MAX_VALUE))
        .not("meter silent", s -> s.meterAge = STALE)
        .not("inverter silent", s -> s.inverterAge = STALE)
        .not("another step", s -> s.before.with("phase", Phase.CONNECTED));
  }

  @Test
  void whatThePanelDrawsIsToldByItsMeterAndFedFromAKnownBattery() {
    Scene scene = new Scene(TIED).connected();
    scene.criticalW = 700;
    assertEquals(700, scene.observed().panelDrawW());
    scene.criticalW = -50;
    assertEquals(0, scene.observed().panelDrawW());
    scene.criticalW = 700;
    scene.volts = 0;
    assertEquals(0, scene.observed().panelDrawW());
    scene.volts = 1;
    scene.meterAge = STALE;
    assertEquals(0, scene.observed().panelDrawW());
  }

  @Test
  void aSiteThatPrefersItsBatteryLeavesWithEnoughInIt() {
    Consumer<Scene> full =
        s -> {
          s.connected();
          s.soc = 0.75;
        };
    yes(BATTERY_FIRST, full, Situation::mayLeaveForBattery)
        .not("less", s -> s.soc = 0.749)
        .not("in a person's hand", s -> s.before.with("manual", true))
        .not("tie not heard", s -> s.tieAge = STALE)
        .not("inverter tripped", s -> s.inverter = InverterState.FAULT);
    assertFalse(new Asked(AUTOMATIC, full, Situation::mayLeaveForBattery).answer(s -> s.soc = 1));
  }

  @Test
  void openIsProvenByContactOrderAndVoltage() {
    yes(TIED, s -> {}, Situation::provenOpen)
        .not("closed", s -> s.contactClosed = true)
        .not("not heard", s -> s.tieAge = STALE)
        .not("still ordered closed", s -> s.orderedClosed = true)
        .not("the panel lives and nobody forms it", SituationTest::orphan);
    yes(TIED, SituationTest::empty, Situation::provenOpenButEmpty)
        .not("not empty", s -> s.soc = 0.5)
        .not("closed", s -> s.contactClosed = true);
    yes(SWITCHLESS, s -> {}, Situation::provenOpen);
  }

  private static void orphan(Scene s) {
    s.inverter = InverterState.OFF;
    s.before.with("live", NOW - SECOND).with("open", NOW - SECOND).with("denied", NOW - SECOND);
  }

  @Test
  void aPanelThatLivesBehindAnOpenTieThoughNobodyFormsItMakesTheContactDoubtful() {
    yes(TIED, SituationTest::orphan, Situation::doubtfulTie)
        .not("a moment less", s -> s.before.with("live", NOW - SECOND + 1))
        .not("only now", s -> s.before.with("live", Long.MAX_VALUE))
        .not("denied a moment too early", s -> s.inverterAge = 1)
        .not("said open too late", s -> s.before.with("open", NOW - SECOND + 1))
        .not("denied too late by its date", s -> s.before.with("denied", NOW - SECOND + 1))
        .not("closed", s -> s.contactClosed = true)
        .not("inverter silent", s -> s.inverterAge = STALE)
        .not("forms", s -> s.inverter = InverterState.FORMING)
        .not("dead", s -> s.panelPu = s.criticalPu = s.acPu = 0.84)
        .still("85 %", s -> s.panelPu = s.criticalPu = s.acPu = 0.85);
    assertFalse(
        new Asked(SWITCHLESS, SituationTest::orphan, Situation::doubtfulTie).answer(s -> {}));
  }

  @Test
  void ourOwnVoltageOnALineThatWasDeadMakesTheContactDoubtful() {
    Consumer<Scene> backfed =
        s -> {
          s.sidePu = 1;
          s.sideHz = s.panelHz;
          s.angleDeg = 0;
          s.before.with("side dead", true).with("formed", NOW - 2 * SECOND);
        };
    yes(TIED, backfed, Situation::doubtfulTie)
        .not("formed longer ago", s -> s.before.with("formed", NOW - 2 * SECOND - 1))
        .not("the line lived before", s -> s.before.with("side dead", false))
        .not("the line is dead", s -> s.sidePu = 0.1)
        .still("hardly alive", s -> s.sidePu = 0.101)
        .not("an angle that is not ours", s -> s.angleDeg = 2)
        .not("the other way round", s -> s.angleDeg = -2)
        .still("an angle that may be", s -> s.angleDeg = 1.99)
        .not("a frequency that is not ours", s -> s.sideHz = s.panelHz + 0.021)
        .not("nor that", s -> s.sideHz = s.panelHz - 0.021)
        .still("a frequency that may be", s -> s.sideHz = s.panelHz + 0.019)
        .not("was foreign before", s -> s.before.with("foreign seen", true))
        .not("closed", s -> s.contactClosed = true)
        .not("does not form", s -> s.inverter = InverterState.FOLLOWING);
    assertFalse(new Asked(AUTOMATIC, backfed, Situation::doubtfulTie).answer(s -> {}));
  }

  @Test
  void whatWasForeignIsForgottenWithTheVoltageOrTheIsland() {
    Consumer<Scene> seen =
        s -> {
          s.sidePu = 1;
          s.sideHz = s.panelHz;
          s.angleDeg = 0;
          s.before.with("foreign seen", true);
        };
    yes(TIED, seen, s -> flag(s, "foreign seen"))
        .not("the line is dead", s -> s.sidePu = 0.1)
        .not("does not form", s -> s.inverter = InverterState.OFF);
  }

  private static Object remembered(Situation situation, String name) {
    Given memory = new Given();
    situation.remember(memory);
    return memory.seen(name);
  }

  private static boolean flag(Situation situation, String name) {
    return (boolean) remembered(situation, name);
  }

  private static long instant(Situation situation, String name) {
    return (long) remembered(situation, name);
  }

  @ParameterizedTest
  @EnumSource(Phase.class)
  void whetherTheLineWasDeadBeforeFormingIsSeenInTheStepsBeforeIt(Phase phase) {
    boolean follows =
        switch (phase) {
          case CONNECTED, UNLOAD_TIE, OPEN_TIE, UNSUPPLIED, CLOSE_TIE -> true;
          case LISTEN, FORM, CARRY, SYNCHRONISE, CLOSE_ON_DEAD_PANEL, WAIT_FOR_PERSON -> false;
        };
    boolean inStep = phase == Phase.SYNCHRONISE;
    Scene dead = new Scene(TIED).connected();
    dead.before.with("phase", phase);
    dead.lowestPu = 0.09; // between two scans, and back already
    assertEquals(follows, flag(dead.observed(), "side dead"));
    Scene alive = new Scene(TIED).connected();
    alive.before.with("phase", phase).with("side dead", true);
    alive.lowestPu = 0.1;
    assertEquals(!follows && !inStep, flag(alive.observed(), "side dead"));
    alive.inverter = InverterState.FORMING;
    assertEquals(
        !inStep,
        flag(alive.observed(), "side dead"),
        "a voltage while it forms may be our own, but not one that it has come into step with");
  }

  @Test
  void theInstantOfFormingIsKeptWhileItForms() {
    Scene scene = new Scene(TIED);
    scene.before.with("formed", NOW - 7 * SECOND);
    assertEquals(NOW - 7 * SECOND, instant(scene.observed(), "formed"));
    scene.before.with("formed", Inputs.NEVER);
    assertEquals(NOW, instant(scene.observed(), "formed"));
    scene.inverter = InverterState.FOLLOWING;
    scene.before.with("formed", NOW - 7 * SECOND);
    assertEquals(Inputs.NEVER, instant(scene.observed(), "formed"));
    scene.before.with("entered", Inputs.NEVER);
    assertEquals(NOW, instant(scene.observed(), "entered"));
    Situation entering = new Scene(TIED).observed();
    entering.enter(Phase.FORM);
    assertEquals(Inputs.NEVER, instant(entering, "formed"));
    assertEquals(NOW, instant(entering, "entered"));
  }

  // The battery.

  @Test
  void aBatteryIsEmptyAtItsFloorAtItsDisconnectOrWhenTheInverterSaysSo() {
    yes(TIED, SituationTest::empty, Situation::batteryEmpty)
        .not("above the floor, doubt included", s -> s.soc = 0.211)
        .still("the doubt counts against it", s -> s.soc = 0.21);
    Consumer<Scene> low =
        s -> {
          s.volts = 44.4 / 48;
          s.before.with("low", NOW - 30 * SECOND);
        };
    yes(TIED, low, Situation::batteryEmpty)
        .not("a moment less", s -> s.before.with("low", NOW - 30 * SECOND + 1))
        .not("only now", s -> s.before.with("low", Long.MAX_VALUE))
        .not("a little above", s -> s.volts = 44.5 / 48)
        .not("no voltage at all", s -> s.volts = 0);
    Consumer<Scene> tripped =
        s -> {
          s.inverter = InverterState.FAULT;
          s.trip = InverterTrip.DC_LOW;
        };
    yes(TIED, tripped, Situation::batteryEmpty)
        .not("not heard", s -> s.inverterAge = STALE)
        .not("another trip", s -> s.trip = InverterTrip.OVERLOAD)
        .not("not tripped", s -> s.inverter = InverterState.OFF);
  }

  @Test
  void anEmptyBatteryHasRecoveredWhenChargeAndVoltageBothSaySo() {
    Consumer<Scene> recovered =
        s -> {
          s.soc = 0.3;
          s.volts = 48.4 / 48;
          s.before.with("empty", true);
        };
    yes(TIED, recovered, s -> !s.batteryEmpty())
        .not("too little charge", s -> s.soc = 0.299)
        .not("too little voltage", s -> s.volts = 48.39 / 48)
        .not("no voltage", s -> s.volts = 0);
  }

  // Returning.

  private static Asked needsLeaveToReturn(Asked asked) {
    return asked
        .not("not yet qualified", s -> s.grid = GridState.RETURNING)
        .not("gone", s -> s.grid = GridState.GONE)
        .not("a person wants to stay away", s -> s.before.with("island asked", true))
        .not("a padlock here", s -> s.holds.place("dockmaster"))
        .not("a padlock at the tie", s -> s.held = true)
        .not("waiting for the next try", s -> s.before.with("retry", NOW + 1))
        .still("the wait is over", s -> s.before.with("retry", NOW))
        .not("closed already", s -> s.contactClosed = true)
        .not("tie not heard", s -> s.tieAge = STALE)
        .not("in a person's hand", s -> s.before.with("manual", true))
        .still("a person begins", s -> s.before.with("manual", true).with("asked", true));
  }

  @Test
  void theUtilityIsReturnedToWhenItIsQualifiedAndNobodyObjects() {
    needsLeaveToReturn(yes(TIED, Scene::inStep, Situation::mayReconnect))
        .not("nothing to bring into step", s -> s.inverter = InverterState.OFF);
    Consumer<Scene> back = s -> s.grid = GridState.QUALIFIED;
    yes(AUTOMATIC, back, Situation::mayReconnect)
        .still("a changeover needs no inverter", s -> s.dark());
    assertFalse(new Asked(BATTERY_FIRST, back, Situation::mayReconnect).answer(s -> {}));
    assertFalse(new Asked(BY_HAND, back, Situation::mayReconnect).answer(s -> {}));
    assertFalse(new Asked(SWITCHLESS, back, Situation::mayReconnect).answer(s -> {}));
    yes(BATTERY_FIRST, back.andThen(s -> s.soc = 0.5), Situation::mayReturnAtReserve)
        .not("above the reserve", s -> s.soc = 0.51)
        .not("not qualified", s -> s.grid = GridState.RETURNING);
    assertFalse(new Asked(AUTOMATIC, back, Situation::mayReturnAtReserve).answer(s -> s.soc = 0.4));
  }

  @Test
  void aReturnIsGivenUpWhenItsGroundsAreGone() {
    yes(TIED, Scene::inStep, s -> !s.mayNotReconnect())
        .not("not qualified", s -> s.grid = GridState.RETURNING)
        .not("stay away", s -> s.before.with("island asked", true))
        .not("a padlock", s -> s.holds.place("dockmaster"));
    yes(
            TIED,
            s -> {
              s.inStep();
              s.grid = GridState.RETURNING;
            },
            Situation::lostWhileClosing)
        .not("closed", s -> s.contactClosed = true)
        .not("qualified", s -> s.grid = GridState.QUALIFIED);
  }

  @Test
  void aDeadPanelIsClosedOntoWhenTheUtilityIsQualifiedAndNobodyObjects() {
    needsLeaveToReturn(yes(TIED, Scene::darkButForTheUtility, Situation::mayCloseOnDeadPanel))
        .still("tripped", s -> s.inverter = InverterState.FAULT)
        .not("forms", s -> s.inverter = InverterState.FORMING)
        .still("inverter not heard, the meter sees it too", s -> s.inverterAge = STALE)
        .not("panel at a tenth", s -> s.panelPu = 0.1)
        .still("below", s -> s.panelPu = 0.09);
    // An order to form lives for 3 s, and may be dated 2 s ahead.
    yes(
            TIED,
            s -> {
              s.darkButForTheUtility();
              s.inverterAge = STALE;
              entered(s, 5 * SECOND + 1);
            },
            Situation::mayCloseOnDeadPanel)
        .not("an order to form may still live", s -> entered(s, 5 * SECOND))
        .not("meter not heard", s -> s.meterAge = STALE)
        .not("the meter sees the panel live", s -> s.criticalPu = 0.1)
        .not("the tie sees the panel live", s -> s.panelPu = 0.1)
        .not("somewhere else", s -> s.before.with("phase", Phase.CARRY));
    yes(
            TIED,
            s -> {
              s.darkButForTheUtility();
              s.inverterAge = STALE;
              s.before.with("phase", Phase.CLOSE_ON_DEAD_PANEL).with("entered", NOW);
            },
            Situation::mayClose)
        .not("the meter sees the panel live", s -> s.criticalPu = 0.1);
    assertFalse(
        new Asked(BY_HAND, Scene::darkButForTheUtility, Situation::mayCloseOnDeadPanel)
            .answer(s -> {}));
    assertFalse(
        new Asked(SWITCHLESS, Scene::darkButForTheUtility, Situation::mayCloseOnDeadPanel)
            .answer(s -> {}));
  }

  @Test
  void aConnectionIsBackWhenTheTieIsClosedAndTheInverterFollows() {
    yes(TIED, Scene::connected, Situation::connectedAgain)
        .not("open", s -> s.contactClosed = false)
        .not("sides differ", s -> shares(s, 1, 0.6))
        .not("gone", s -> s.grid = GridState.GONE)
        .not("inverter not heard", s -> s.inverterAge = STALE)
        .not("forms", s -> s.inverter = InverterState.FORMING);
    Consumer<Scene> forming =
        s -> {
          s.connected();
          s.inverter = InverterState.FORMING;
          s.before.with("entered", NOW - 2 * SECOND).with("closed", NOW - SECOND / 2);
        };
    yes(TIED, forming, Situation::closedButForming)
        .not("said too soon after", s -> s.before.with("closed", NOW - SECOND / 2 + 1))
        .not("said before", s -> s.inverterAge = SECOND)
        .not("still in time", s -> s.before.with("entered", NOW - SECOND))
        .not("open", s -> s.contactClosed = false)
        .not("follows", s -> s.inverter = InverterState.FOLLOWING);
    assertFalse(new Asked(AUTOMATIC, forming, Situation::closedButForming).answer(s -> {}));
    yes(TIED, forming, Situation::formsBehindClosedTie)
        .still("at any time", s -> s.before.with("entered", NOW))
        .not("said before", s -> s.inverterAge = SECOND);
    yes(TIED, forming, Situation::closedUnheard)
        .still("inverter not heard", s -> s.inverterAge = STALE)
        .not("still in time", s -> s.before.with("entered", NOW - SECOND))
        .not("open", s -> s.contactClosed = false)
        .not("sides differ", s -> shares(s, 1, 0.6))
        .not("gone", s -> s.grid = GridState.GONE);
  }

  /** The tie has said open; half a second later the inverter does not form, and the panel lives. */
  private static void servedUnsaid(Scene s) {
    s.connected();
    s.contactClosed = false;
    s.tieAge = SECOND / 2 + 1;
    s.before.with("phase", Phase.CLOSE_TIE).with("entered", NOW - SECOND - 1);
  }

  @Test
  void theUtilityCarriesAPanelThatLivesWhenNobodyForms() {
    yes(TIED, SituationTest::servedUnsaid, Situation::servedBehindSilentSwitch)
        .still("the tie not heard at all", s -> s.tieAge = STALE)
        .not("the tie has spoken since", s -> s.tieAge = SECOND / 2)
        .not("still in time", s -> entered(s, SECOND))
        .not("the inverter forms", s -> s.inverter = InverterState.FORMING)
        .not("the inverter is not heard", s -> s.inverterAge = STALE)
        .not("the panel is dead", s -> shares(s, 1, 0))
        .not("no utility", s -> s.grid = GridState.GONE);
    yes(TIED, SituationTest::servedUnsaid, Situation::tieClosedByContact)
        .not("said at the same time", s -> s.tieAge = 0);
    yes(TIED, SituationTest::servedUnsaid, s -> !s.tieOpened())
        .not("said at the same time", s -> s.tieAge = 0);
    yes(TIED, SituationTest::servedUnsaid, s -> !s.closeTimedOut())
        .not("said at the same time", s -> s.tieAge = 0);
    assertFalse(
        new Asked(SWITCHLESS, SituationTest::servedUnsaid, Situation::servedBehindSilentSwitch)
            .answer(s -> {}));
  }

  /** At the demo site a bad link may take 10 s, and forming 5 s. */
  @Test
  void aStepIsGivenTheTimeThatItsOrderNeedsToCome() {
    Consumer<Scene> opening =
        s -> {
          s.contactClosed = true;
          s.before.with("phase", Phase.OPEN_TIE);
          entered(s, 2 * SECOND);
        };
    yes(TIED, opening, Situation::openTimedOut)
        .not("the order has not come", s -> s.in.unheeded(true, false))
        .still("the inverter's has not", s -> s.in.unheeded(false, true))
        .not("it has just come", s -> s.before.with("tie unheeded", NOW - SECOND))
        .still("it came in time", s -> s.before.with("tie unheeded", NOW - SECOND - 1))
        .still(
            "for longer than the link's time-out",
            s -> {
              s.in.unheeded(true, false);
              entered(s, 11 * SECOND + 1);
            });
    Consumer<Scene> forming =
        s -> {
          s.dark();
          s.before.with("phase", Phase.FORM);
          entered(s, 6 * SECOND);
        };
    yes(TIED, forming, Situation::formTimedOut)
        .not("the order has not come", s -> s.in.unheeded(false, true))
        .still("the tie's has not", s -> s.in.unheeded(true, false))
        .not("it has just come", s -> s.before.with("inverter unheeded", NOW - 5 * SECOND))
        .still("it came in time", s -> s.before.with("inverter unheeded", NOW - 5 * SECOND - 1))
        .still(
            "for longer than the link's time-out",
            s -> {
              s.in.unheeded(false, true);
              entered(s, 15 * SECOND + 1);
            })
        .not("in time", s -> entered(s, 5 * SECOND));
  }

  @Test
  void aTieThatSaysThatItHasNotOpenedIsOverdue() {
    yes(
            TIED,
            s -> {
              s.contactClosed = true;
              s.inverter = InverterState.FOLLOWING;
              s.before.with("phase", Phase.OPEN_TIE);
              entered(s, SECOND + 1);
              s.in.unheeded(true, true);
            },
            Situation::openOverdue)
        .not("still in time", s -> entered(s, SECOND))
        .not("open", s -> s.contactClosed = false)
        .not("said before it should have been open", s -> s.tieAge = SECOND / 2 + 1)
        .not("not told to open", s -> s.before.with("phase", Phase.CONNECTED));
  }

  /** The tie has said closed; the others still tell of the time before. */
  @Test
  void aTieThatSaysClosedIsNotOneThatDidNotClose() {
    yes(
            TIED,
            s -> {
              s.darkButForTheUtility();
              s.before.with("phase", Phase.CLOSE_ON_DEAD_PANEL);
              entered(s, 2 * SECOND);
            },
            Situation::closeTimedOut)
        .not("closed", s -> s.contactClosed = true)
        .still(
            "closed for longer than a link's time-out",
            s -> {
              s.contactClosed = true;
              entered(s, 11 * SECOND + 1);
            });
  }

  /** What did not come is tried again with the next refresh, not after the rest of a failure. */
  @Test
  void whatAnOrderThatDidNotComeFailedToDoIsTriedAgainSoon() {
    Scene unheard = new Scene(TIED).dark();
    unheard.in.unheeded(true, true);
    Situation situation = unheard.observed();
    situation.alarmNotForming();
    assertEquals(NOW + 5 * SECOND, remembered(situation, "retry"));
    assertEquals(0L, remembered(situation, "failed starts"));
    situation.alarmNotClosed();
    assertEquals(NOW + 5 * SECOND, remembered(situation, "retry"));
    Situation heard = new Scene(TIED).dark().observed();
    heard.alarmNotForming();
    assertEquals(NOW + 30 * SECOND, remembered(heard, "retry"));
    assertEquals(1L, remembered(heard, "failed starts"));
    heard.alarmNotClosed();
    assertEquals(NOW + 30 * SECOND, remembered(heard, "retry"));
  }

  /** A report that a slow link brings last is no news: its own date says when it was so. */
  @Test
  void anOldReportThatComesLateDoesNotOvertakeTheTies() {
    Scene late = new Scene(TIED).connected();
    late.inverter = InverterState.FORMING;
    late.tieAge = SECOND;
    late.before.with("closed", NOW - 10 * SECOND);
    assertFalse(late.observed().tieClosedByContact(), "said since");
    Scene later = new Scene(TIED).connected();
    later.inverter = InverterState.FORMING;
    later.tieAge = SECOND;
    later.before.with("closed", NOW - 10 * SECOND);
    later.inverterLate = SECOND;
    assertTrue(later.observed().tieClosedByContact(), "said at the same time");
  }

  /** Five cycles: the time-outs run anew when nobody could have seen the proof come. */
  @Test
  void timeInWhichNobodyLookedIsNotHeldAgainstAStep() {
    Consumer<Scene> opening =
        s -> s.before.with("phase", Phase.OPEN_TIE).with("entered", NOW - 2 * SECOND);
    yes(TIED, opening, Situation::openTimedOut)
        .still("looked half a second ago", s -> s.before.with("observed", NOW - SECOND / 2))
        .not("looked longer ago", s -> s.before.with("observed", NOW - SECOND / 2 - 1));
  }

  @Test
  void theCloseInterlockAsksAgainForEveryProof() {
    yes(TIED, Scene::inStep, Situation::mayClose)
        .not("closed already", s -> s.contactClosed = true)
        .not("not heard", s -> s.tieAge = STALE)
        .not("not qualified", s -> s.grid = GridState.RETURNING)
        .not("a padlock", s -> s.holds.place("dockmaster"))
        .not("out of step", s -> s.angleDeg = 11)
        .not("nobody forms", s -> s.inverter = InverterState.FOLLOWING);
    yes(TIED, Scene::darkButForTheUtility, Situation::mayClose)
        .not("the panel is not dead", s -> s.panelPu = 0.5);
    yes(AUTOMATIC, s -> s.grid = GridState.QUALIFIED, Situation::mayClose)
        .not("a padlock", s -> s.holds.place("dockmaster"));
    assertFalse(
        new Asked(BY_HAND, Scene::darkButForTheUtility, Situation::mayClose).answer(s -> {}));
    assertFalse(
        new Asked(SWITCHLESS, Scene::darkButForTheUtility, Situation::mayClose).answer(s -> {}));
  }

  @Test
  void theFormInterlockAsksForAProvenOpenTieOrAnIslandThatStands() {
    yes(TIED, s -> {}, Situation::mayForm)
        .not("empty", SituationTest::empty)
        .not("closed", s -> s.contactClosed = true)
        .not("doubtful", SituationTest::orphan)
        .still("the tie is silent, but the island stands", s -> s.tieAge = STALE)
        .still("silent, and it said closed", s -> says(s, true, STALE))
        .not(
            "the tie is silent and no island stands",
            s -> {
              s.tieAge = STALE;
              s.inverter = InverterState.OFF;
            });
    yes(TIED, SituationTest::servedUnsaid, s -> !s.mayForm())
        .not("the tie has spoken since", s -> s.tieAge = 0)
        .not("the panel is dead", s -> shares(s, 1, 0))
        .not("no utility", s -> s.grid = GridState.GONE);
    yes(AUTOMATIC, s -> s.contactClosed = true, Situation::mayForm)
        .not("empty", SituationTest::empty);
  }

  @Test
  void aBlackStartNeedsABatteryATieAndAnInverterAndIsNotTriedForEver() {
    yes(TIED, Scene::dark, Situation::mayBlackStart)
        .not("empty", SituationTest::empty)
        .not("no voltage", s -> s.volts = 0)
        .not("tie not proven open", s -> s.orderedClosed = true)
        .not("onto somebody else's voltage", s -> s.panelPu = s.criticalPu = s.acPu = 1)
        .not("inverter tripped", s -> s.inverter = InverterState.FAULT)
        .not("inverter not heard", s -> s.inverterAge = STALE)
        .not("waiting", s -> s.before.with("retry", NOW + 1))
        .still("two have failed", s -> s.before.with("failed starts", 2L))
        .not("three have failed", s -> s.before.with("failed starts", 3L))
        .not("in a person's hand", s -> s.before.with("manual", true))
        .still("a person begins", s -> s.before.with("manual", true).with("asked", true));
  }

  @Test
  void failedStartsAreForgivenByTheUtilityAndByTenMinutesOfIsland() {
    Consumer<Scene> failed = s -> s.before.with("failed starts", 3L).with("overloads", 2L);
    yes(TIED, failed, s -> s.overloads() == 2)
        .not("connected", s -> s.before.with("phase", Phase.CONNECTED));
    Consumer<Scene> stands =
        failed.andThen(
            s -> {
              s.inverter = InverterState.OFF;
              s.panelPu = s.acPu = s.criticalPu = 0;
            });
    yes(TIED, stands, Situation::mayBlackStart)
        .not("ten minutes to the second", s -> s.before.with("entered", NOW - 600 * SECOND))
        .still("a moment more", s -> s.before.with("entered", NOW - 600 * SECOND - 1))
        .not("in the dark", s -> s.before.with("phase", Phase.UNSUPPLIED))
        .still("connected", s -> s.before.with("phase", Phase.CONNECTED).with("entered", NOW));
  }

  // What is told.

  @Test
  void theTieIsWhereItsContactSaysUnlessTheInverterHasSaidOtherwiseSince() {
    yes(TIED, Scene::connected, Situation::tieClosedByContact)
        .not("open", s -> s.contactClosed = false)
        .not(
            "forms since",
            s -> {
              s.inverter = InverterState.FORMING;
              s.tieAge = 1;
            })
        .still("said at the same time", s -> s.inverter = InverterState.FORMING)
        .still("follows since", s -> s.tieAge = 1);
    yes(
        AUTOMATIC,
        s -> {
          s.connected();
          s.inverter = InverterState.FORMING;
          s.acHz = 60.05;
          s.tieAge = 1;
        },
        Situation::tieClosedByContact);
  }

  @Test
  void anIslandIsUnknownWhenTieAndInverterAreSilentOrOneIsOldNews() {
    yes(TIED, s -> s.tieAge = s.inverterAge = STALE, Situation::islandUnknown)
        .not("tie heard", s -> s.tieAge = 0)
        .not(
            "inverter heard, and forms nothing",
            s -> {
              s.inverterAge = 0;
              s.inverter = InverterState.OFF;
            })
        .still(
            "the tie's word is old news",
            s -> {
              s.inverterAge = 0;
              s.tieAge = SECOND;
            });
    assertFalse(
        new Asked(AUTOMATIC, s -> s.tieAge = s.inverterAge = STALE, Situation::islandUnknown)
            .answer(s -> {}));
  }

  @Test
  void whoIsSilentForLongerThanTheLinkMayBeIsTold() {
    long link = 10 * SECOND;
    Asked asked = yes(AUTOMATIC, s -> {}, s -> !s.anySilent());
    asked
        .still("ten seconds", s -> s.regulatorAge = s.meterAge = s.tieAge = link)
        .not("regulator", s -> s.regulatorAge = link + 1)
        .not("inverter", s -> s.inverterAge = link + 1)
        .not("switch", s -> s.tieAge = link + 1)
        .not("charger", s -> s.chargerAge = link + 1)
        .not("meter", s -> s.meterAge = link + 1);
    yes(SWITCHLESS, s -> s.tieAge = link + 1, s -> !s.anySilent());
    yes(TIED, s -> s.chargerAge = link + 1, s -> !s.anySilent());
  }

  @Test
  void aPadlockAtTheTieIsSeenWhileTheTieIsHeard() {
    yes(TIED, s -> s.held = true, Situation::heldByTie)
        .not("none", s -> s.held = false)
        .not("not heard", s -> s.tieAge = STALE);
    assertFalse(new Asked(SWITCHLESS, s -> s.held = true, Situation::heldByTie).answer(s -> {}));
  }

  @Test
  void anInverterStandsByWhenItIsAbleAndTheBatteryIsNotEmpty() {
    yes(AUTOMATIC, Scene::connected, Situation::mayStandBy)
        .not("empty", SituationTest::empty)
        .not("tripped", s -> s.inverter = InverterState.FAULT)
        .not("not heard", s -> s.inverterAge = STALE);
    assertTrue(new Scene(TIED).observed().tied());
    assertFalse(new Scene(AUTOMATIC).observed().tied());
    yes(TIED, s -> s.inverter = InverterState.FAULT, Situation::inverterTripped)
        .not("not heard", s -> s.inverterAge = STALE)
        .not("off", s -> s.inverter = InverterState.OFF);
  }

  /** The profile's ramp after a return takes 300 s. */
  @ParameterizedTest
  @CsvSource({"0, 0", "75, 0.25", "299, 0.99666666666666667", "300, 1", "900, 1"})
  void powerRisesOverTheRamp(long since, double share) {
    Scene scene = new Scene(TIED).connected();
    scene.before.with("ramp", NOW - since * SECOND);
    assertEquals(share, scene.observed().rampShare(), 1e-12);
    assertEquals(1, new Scene(TIED).observed().rampShare(), "no return, no ramp");
    Situation returned = new Scene(TIED).observed();
    returned.beginRamp();
    assertEquals(0, returned.rampShare());
  }

  @Test
  void aTripWaitsHalfAMinuteAndIsCounted() {
    Scene scene = new Scene(TIED).dark();
    scene.trip = InverterTrip.OVERLOAD;
    Situation situation = scene.observed();
    situation.alarmTripped();
    assertEquals(1, situation.overloads());
    assertEquals(NOW + 30 * SECOND, instant(situation, "retry"));
    scene.trip = InverterTrip.DC_LOW;
    Situation other = scene.observed();
    other.alarmTripped();
    assertEquals(0, other.overloads());
    for (Consumer<Situation> wait :
        List.<Consumer<Situation>>of(
            Situation::alarmNotForming, Situation::alarmSync, Situation::alarmNotClosed)) {
      Situation waits = new Scene(TIED).observed();
      wait.accept(waits);
      assertEquals(NOW + 30 * SECOND, instant(waits, "retry"));
    }
  }

  @Test
  void threeFailuresOfAnyKindEndTheBlackStartsUntilAPersonResets() {
    for (Consumer<Situation> failure :
        List.<Consumer<Situation>>of(Situation::alarmTripped, Situation::alarmNotForming)) {
      Scene scene = new Scene(TIED).dark();
      Situation situation = scene.observed();
      for (int i = 0; i < 3; i++) {
        assertTrue(startsAt(situation, scene, NOW + (i + 1) * 100L * SECOND));
        failure.accept(situation);
      }
      assertFalse(startsAt(situation, scene, NOW + 1000 * SECOND));
      situation.askReset();
      assertTrue(startsAt(situation, scene, NOW + 1000 * SECOND));
    }
  }

  private static boolean startsAt(Situation situation, Scene scene, long now) {
    scene.in.take(scene.in.tie(), now);
    scene.in.take(scene.in.inverter(), now);
    situation.observe(scene.in, scene.out, now);
    return situation.mayBlackStart();
  }

  /** Whoever leaves the utility by choice does so with an inverter that has shown that it runs. */
  @Test
  void nobodyLeavesTheUtilityWithAnInverterThatHasTrippedAndRests() {
    Situation situation = asking(new Scene(TIED).connected());
    situation.askIsland(true);
    assertTrue(situation.mayLeaveAsAsked());
    Scene tripped = new Scene(TIED).connected();
    tripped.before.with("island asked", true).with("standby down", true);
    tripped.inverter = InverterState.OFF;
    assertFalse(tripped.observed().mayLeaveAsAsked());
  }

  @Test
  void aResetCountsOnlyWhereSomebodyIsWaitedFor() {
    for (Phase phase : Phase.values()) {
      Scene scene = new Scene(TIED);
      scene.before.with("phase", phase).with("overloads", 2L);
      Situation situation = scene.observed();
      situation.askReset();
      assertEquals(phase == Phase.WAIT_FOR_PERSON, situation.resetAsked());
      assertEquals(0, situation.overloads());
      situation.enter(Phase.LISTEN);
      assertFalse(situation.resetAsked());
      assertEquals(Phase.LISTEN, situation.phase());
    }
  }

  @Test
  void underAPersonsHandAReturnIsAskedForOnce() {
    Situation situation = asking(new Scene(TIED).inStep());
    assertTrue(situation.mayReconnect());
    situation.takeOver(true);
    assertTrue(situation.manual());
    assertFalse(situation.mayReconnect());
    situation.askIsland(false);
    assertTrue(situation.mayReconnect());
    situation.askIsland(true);
    assertFalse(situation.mayReconnect());
    situation.askIsland(false);
    situation.takeOver(true);
    assertFalse(situation.mayReconnect(), "taking over again forgets what was asked");
    situation.takeOver(false);
    assertTrue(situation.mayReconnect());
    assertFalse(situation.manual());
    Situation auto = asking(new Scene(TIED).inStep());
    auto.askIsland(false);
    auto.takeOver(true);
    assertFalse(auto.mayReconnect(), "what was asked under automatic control begins nothing");
    Scene back = new Scene(TIED).connected();
    back.before.with("manual", true).with("asked", true);
    assertFalse(flag(back.observed(), "asked"), "connected is what was asked for");
  }

  private static Situation asking(Scene scene) {
    return scene.observed();
  }
}
