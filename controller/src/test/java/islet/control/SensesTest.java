package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Each sense alone at the edges of what it allows, worked out by hand from the demo's ratings: 400
 * Ah at 48 V, a regulator of 90 A, an inverter of 4 kW down to 44.4 V that charges with 60 A.
 */
class SensesTest {

  private static final long SECOND = 1_000_000;

  private static long now = FakeSite.START;

  private static MeterTelemetry meter(double volts, double amps, double celsius) {
    return new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, amps, celsius, "", false);
  }

  private static RegulatorTelemetry regulator(double volts, double amps, double celsius) {
    return new RegulatorTelemetry(
        0, now, volts, celsius, 0, 0, amps, 0, 0, ChargeStage.BULK, true, false);
  }

  private static InverterTelemetry inverter(double volts, double amps) {
    return new InverterTelemetry(
        0, now, volts, amps, 0, 1, 60, InverterState.FOLLOWING, InverterTrip.NONE, false, false);
  }

  @Nested
  class Current {

    private final CurrentSense sense = new CurrentSense(Sites.demo());
    private final Inputs in = new Inputs();
    private final Outputs out = new Outputs();

    private void tell(double shuntA, double sunA, double inverterA) {
      in.take(meter(50, shuntA, 25), now);
      in.take(regulator(50, sunA, 25), now);
      in.take(inverter(50, inverterA), now);
    }

    private void take() {
      out.begin();
      sense.take(in, now, out);
    }

    /** Seconds in which all tell the same, but for a hair, so that nothing stands still. */
    private void seconds(int seconds, double shuntA, double sunA, double inverterA) {
      for (int i = 0; i < seconds; i++) {
        now += SECOND;
        tell(shuntA + 1e-6 * i, sunA, inverterA);
        take();
      }
    }

    @Test
    void theShuntIsBelievedAndIsSure() {
      seconds(1, 12, 20, -8);
      assertTrue(sense.known());
      assertTrue(sense.sure());
      assertEquals(12, sense.amps());
    }

    @Test
    void beforeAnybodyHasSpokenNothingIsKnown() {
      take();
      assertFalse(sense.known());
      assertFalse(sense.sure());
      assertEquals(0, sense.amps());
      in.take(regulator(50, 20, 25), now);
      take();
      assertFalse(sense.known(), "one converter alone is no sum");
    }

    /** Believed three seconds after its last word and not longer; then the converters' sum. */
    @Test
    void aSilentShuntGivesWayToTheSum() {
      seconds(1, 12, 20, -7);
      long told = now;
      for (long age : new long[] {3 * SECOND, 3 * SECOND + 1}) {
        now = told + age;
        in.take(regulator(50, 20, 25), now);
        in.take(inverter(50, -7), now);
        take();
        assertEquals(age == 3 * SECOND, sense.sure());
        assertEquals(age == 3 * SECOND ? 12 : 13, sense.amps());
        assertTrue(sense.known());
      }
      told = now;
      for (long age : new long[] {3 * SECOND, 3 * SECOND + 1}) {
        now = told + age;
        in.take(inverter(50, -7), now);
        take();
        assertEquals(age == 3 * SECOND, sense.known(), "the regulator's word");
      }
      in.take(regulator(50, 20, 25), now);
      told = now;
      for (long age : new long[] {3 * SECOND, 3 * SECOND + 1}) {
        now = told + age;
        in.take(regulator(50, 20, 25), now);
        take();
        assertEquals(age == 3 * SECOND, sense.known(), "the inverter's word");
      }
    }

    /** Twice 90 A + 4000 W / 44.4 V + 60 A = 480.18 A. */
    @ParameterizedTest
    @CsvSource({"480.1, true", "-480.1, true", "480.3, false", "-480.3, false"})
    void moreThanTwiceWhatAllConvertersCanIsOutOfRange(double told, boolean believed) {
      seconds(1, told, 20, -7);
      assertEquals(believed, sense.sure());
      assertEquals(believed ? told : 13, sense.amps());
      assertEquals(
          believed ? SignalStatus.GOOD : SignalStatus.OUT_OF_RANGE, sense.witness().status());
    }

    /**
     * 100 A by the shunt: 8 A and five hundredths of the larger are allowed, so 87 A are beside it
     * and 86.9 against it; after half a minute, and five seconds of patience.
     */
    @ParameterizedTest
    @CsvSource({"100, 87.1, true", "100, 86.9, false", "-100, -87.1, true", "-100, -86.9, false"})
    void theShuntMayDifferFromTheSumByEightAmpsAndATwentieth(
        double shunt, double sum, boolean agrees) {
      seconds(35, shunt, 0, sum);
      assertEquals(SignalStatus.GOOD, sense.witness().status());
      seconds(1, shunt + 1e-3, 0, sum);
      assertEquals(agrees ? SignalStatus.GOOD : SignalStatus.DISAGREES, sense.witness().status());
      assertEquals(agrees, sense.sure());
      assertEquals(shunt + 1e-3, sense.amps(), 1e-9, "the count goes on by the shunt");
      assertTrue(sense.known());
    }

    @Test
    void timeInWhichTheShuntIsSilentDoesNotCountAsDiffering() {
      seconds(20, 100, 0, 50);
      for (int i = 0; i < 10; i++) {
        now += SECOND;
        in.take(regulator(50, 0, 25), now);
        in.take(inverter(50, 50), now);
        take();
      }
      seconds(30, 101, 0, 50);
      assertEquals(SignalStatus.GOOD, sense.witness().status());
      seconds(6, 102, 0, 50);
      assertEquals(SignalStatus.DISAGREES, sense.witness().status());
    }

    @Test
    void andWhenItSpeaksAgainItsTenSecondsBeginAnew() {
      seconds(3, 5000, 20, -7);
      assertEquals(SignalStatus.OUT_OF_RANGE, sense.witness().status());
      seconds(6, 12, 20, -8);
      now += 4 * SECOND;
      take(); // unheard
      seconds(6, 13, 20, -8);
      assertEquals(SignalStatus.OUT_OF_RANGE, sense.witness().status());
      seconds(5, 14, 20, -8);
      assertEquals(SignalStatus.GOOD, sense.witness().status());
    }

    /** A site with a charger of its own: it is on the bus too, and its silence spoils the sum. */
    @Test
    void aChargerOfItsOwnIsPartOfTheSum() {
      Site site = Sites.named("ferry-landing-changeover");
      CurrentSense three = new CurrentSense(site);
      in.take(regulator(50, 20, 25), now);
      in.take(inverter(50, -7), now);
      three.take(in, now, out);
      assertFalse(three.known());
      in.take(
          new ChargerTelemetry(0, now, 50, 25, 0, 30, 0, 0, ChargeStage.BULK, true, false), now);
      three.take(in, now, out);
      assertEquals(43, three.amps());
      now += 3 * SECOND;
      in.take(regulator(50, 20, 25), now);
      in.take(inverter(50, -7), now);
      three.take(in, now, out);
      assertTrue(three.known());
      now += 1;
      three.take(in, now, out);
      assertFalse(three.known(), "the charger's word is too old");
    }
  }

  @Nested
  class Temperature {

    private final TemperatureSense sense = new TemperatureSense();
    private final Inputs in = new Inputs();
    private final Outputs out = new Outputs();

    private void take() {
      out.begin();
      sense.take(in, now, out);
    }

    private void seconds(int seconds, double meterC, double regulatorC) {
      for (int i = 0; i < seconds; i++) {
        now += SECOND;
        in.take(meter(50, 0, meterC), now);
        in.take(regulator(50, 0, regulatorC), now);
        take();
      }
    }

    private String told() {
      StringBuilder text = new StringBuilder();
      sense.tell(text);
      return text.toString();
    }

    @Test
    void theColderAndTheWarmerWordAreKeptApart() {
      seconds(1, 20, 24);
      assertEquals(20, sense.coldestC());
      assertEquals(24, sense.warmestC());
      seconds(1, 25, 19);
      assertEquals(19, sense.coldestC());
      assertEquals(25, sense.warmestC());
      assertTrue(sense.known());
    }

    @ParameterizedTest
    @CsvSource({"-45, true", "85, true", "-45.1, false", "85.1, false"})
    void whatABatteryRoomCanBe(double celsius, boolean possible) {
      seconds(1, celsius, celsius);
      assertEquals(possible, sense.known());
      assertEquals(possible ? celsius : 0, sense.coldestC());
    }

    /** Ten kelvin are allowed; more is told after a minute, and the five seconds of patience. */
    @ParameterizedTest
    @CsvSource({"35, false", "35.1, true", "15, false", "14.9, true"})
    void twoSensorsMayDifferByTenKelvin(double regulatorC, boolean disagrees) {
      seconds(65, 25, regulatorC);
      assertEquals("", told());
      assertEquals(0, sense.changes());
      seconds(1, 25, regulatorC);
      assertEquals(
          disagrees
              ? "battery temperature by the meter DISAGREES,"
                  + " battery temperature by the regulator DISAGREES"
              : "",
          told());
      int both = 8 * SignalStatus.DISAGREES.ordinal() + SignalStatus.DISAGREES.ordinal();
      assertEquals(disagrees ? both : 0, sense.changes());
      assertEquals(Math.min(25, regulatorC), sense.coldestC(), "both go on speaking");
      seconds(5, 25, regulatorC);
      assertEquals(disagrees, sense.rings());
    }

    @Test
    void aMinuteBeginsAnewWhenTheyAgreeBetween() {
      seconds(50, 25, 40);
      seconds(1, 25, 26);
      seconds(60, 25, 40);
      assertEquals("", told());
    }

    @Test
    void oneAloneSpeaksForBothForThreeSecondsAfterItsLastWord() {
      seconds(1, 20, 30);
      long last = now;
      now = last + 3 * SECOND;
      in.take(regulator(50, 0, 31), now);
      take();
      assertEquals(20, sense.coldestC());
      now = last + 3 * SECOND + 1;
      take();
      assertEquals(31, sense.coldestC());
      assertEquals(31, sense.warmestC());
      seconds(1, 20, 31);
      now += 3 * SECOND;
      in.take(meter(50, 0, 22), now);
      take();
      assertEquals(31, sense.warmestC());
      now += 1;
      take();
      assertEquals(22, sense.warmestC());
    }

    @Test
    void theLastWordHoldsForTenMinutes() {
      seconds(1, 20, 30);
      now += 603 * SECOND;
      long last = now - 603 * SECOND;
      now = last + 3 * SECOND;
      take();
      now = last + 603 * SECOND;
      take();
      assertTrue(sense.known());
      now += 1;
      take();
      assertFalse(sense.known());
      assertEquals(20, sense.coldestC(), "shown still");
    }

    /** Impossible beside possible: only the one is named, and it must speak ten seconds again. */
    @Test
    void whoWasImpossibleIsBelievedAgainAfterTenSecondsOfWords() {
      seconds(1, 90, 30);
      assertEquals("battery temperature by the meter OUT_OF_RANGE", told());
      assertEquals(8 * SignalStatus.OUT_OF_RANGE.ordinal(), sense.changes());
      seconds(6, 25, 30);
      assertEquals(30, sense.coldestC());
      for (int i = 0; i < 4; i++) {
        now += SECOND;
        in.take(regulator(50, 0, 30), now);
        take();
      }
      seconds(10, 25, 30);
      assertEquals(30, sense.coldestC(), "silence broke the ten seconds");
      seconds(1, 25, 30);
      assertEquals(25, sense.coldestC());
      assertEquals("", told());
      seconds(1, 25, -50);
      assertEquals("battery temperature by the regulator OUT_OF_RANGE", told());
      assertEquals(SignalStatus.OUT_OF_RANGE.ordinal(), sense.changes());
    }
  }

  /** Others must move by 1 unit; a step of theirs is a twentieth of that. */
  @Nested
  class Frozen {

    private final Sameness sameness = new Sameness(1);
    private long at = 1;

    /** A report of the same value, while the other goes to this. */
    private boolean report(double other) {
      return report(other, other, 1);
    }

    private boolean report(double first, double second, int who) {
      return sameness.frozen(50, at++, first, second, who);
    }

    private boolean moves(int steps, double each) {
      boolean frozen = false;
      for (int i = 1; i <= steps; i++) {
        frozen = report(50 + i * each);
      }
      return frozen;
    }

    private void settle() {
      for (int i = 0; i < 4; i++) {
        assertFalse(report(50));
      }
    }

    /**
     * The first word, then ten reports of the same; the others have moved five times by a fifth.
     */
    @Test
    void tenEqualReportsWhileTheOthersMoveStepByStep() {
      settle();
      assertFalse(report(50.0));
      assertFalse(report(50.25));
      assertFalse(report(50.5));
      assertFalse(report(50.75));
      assertFalse(report(50.875));
      assertFalse(report(51.0), "nine equal reports after the first");
      assertTrue(report(51.0));
      assertTrue(report(50.0), "it stays found when the others come back");
      assertFalse(sameness.frozen(50.001, at++, 51, 51, 1), "until it moves itself");
    }

    @ParameterizedTest
    @CsvSource({"5, 0.2, true", "4, 0.25, false", "10, 0.1, true", "10, 0.0999, false"})
    void fiveMovesThatComeToTheBand(int steps, double each, boolean frozen) {
      settle();
      for (int i = 0; i < 6; i++) {
        report(50);
      }
      assertEquals(frozen, moves(steps, each));
    }

    /** 0.05 is a move, less is none, however often. */
    @ParameterizedTest
    @CsvSource({"0.0625, true", "0.04, false"})
    void aMoveIsATwentiethOfTheBand(double each, boolean frozen) {
      settle();
      boolean seen = false;
      for (int i = 0; i < 40; i++) {
        // Moves of the size asked, up and down, and in the end one that makes up the band.
        seen |= report(50 + (i % 2) * each);
      }
      seen |= report(51);
      assertEquals(frozen, seen);
    }

    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void bothOthersMustHaveMovedUpOrDown(boolean both) {
      settle();
      boolean seen = false;
      for (int i = 1; i <= 20; i++) {
        seen |= report(50 - 0.1 * i, both ? 50 - 0.1 * i : 50, 1);
      }
      assertEquals(both, seen);
    }

    @Test
    void theFirstMustHaveMovedToo() {
      settle();
      boolean seen = false;
      for (int i = 1; i <= 20; i++) {
        seen |= report(50 + 0.1 * (i % 2), 50 + 0.1 * i, 1);
      }
      assertFalse(seen);
    }

    @Test
    void nobodyIsNoWitness() {
      for (int i = 1; i <= 40; i++) {
        assertFalse(report(50 + 0.1 * i, 50 + 0.1 * i, 0));
      }
    }

    @Test
    void whenOthersTakeOverTheCountBeginsAnew() {
      settle();
      assertFalse(moves(6, 0.2));
      assertFalse(report(60, 60, 2));
      for (int i = 0; i < 3; i++) {
        assertFalse(report(60, 60, 2));
      }
      boolean seen = false;
      for (int i = 1; i <= 6; i++) {
        seen = report(60 + 0.2 * i, 60 + 0.2 * i, 2);
      }
      assertFalse(seen, "nine");
      assertTrue(report(61.4, 61.4, 2));
      assertTrue(report(50, 50, 1), "once found it is frozen whoever speaks");
    }

    /** One report looked at ten times is one report. */
    @Test
    void scansWithoutNewsDoNotCount() {
      for (int i = 0; i < 8; i++) {
        for (int scan = 0; scan < 10; scan++) {
          assertFalse(sameness.frozen(50, at, 50 + 0.3 * i, 50 + 0.3 * i, 1));
        }
        at++;
      }
    }

    /** What the others tell before the third report may be the same instant told later. */
    @Test
    void movesOfTheFirstReportsAreNone() {
      report(40);
      report(44);
      report(50);
      boolean seen = false;
      for (int i = 0; i < 30; i++) {
        seen |= report(50.5 + 0.1 * (i % 2));
      }
      assertFalse(seen);
    }
  }
}
