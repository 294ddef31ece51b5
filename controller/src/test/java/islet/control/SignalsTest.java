package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Validation of the battery's signals, judged by a bank of known voltage behind known resistances,
 * whose meters report once a second each at its own moment, with noise of 20 mV, and are spoiled
 * one by one and together.
 */
class SignalsTest {
  private static final Site SITE = Sites.demo();
  private static final long SECOND = 1_000_000;
  private static final double CABLE_OHM = SITE.battery().cableOhm();

  /** What can be wrong with a meter. */
  enum Flaw {
    NONE,
    SILENT,
    DEAD,
    FROZEN,
    BIASED,
    SLIPPED,
    JUMPED,
    DRIFTED
  }

  private static final String[] NAMES = {
    "battery voltage by the regulator",
    "battery voltage by the inverter",
    "battery voltage by the meter"
  };

  /** A bank, its three meters, and what became of them. */
  private static final class Bench {
    final BatteryEstimate estimate = new BatteryEstimate(SITE);
    final Inputs in = new Inputs();
    final Outputs out = new Outputs();
    final Random random;
    final Flaw[] flaws = {Flaw.NONE, Flaw.NONE, Flaw.NONE};
    final double[] frozenV = new double[3];
    final List<String> events = new ArrayList<>();
    long now = FakeSite.START;
    final long[] flawedAt = new long[3];
    double sunA;
    double drawA;
    double ocvV = 50;
    double temperatureC = 25;
    double regulatorTemperatureC = 25;
    double shuntError;
    boolean shuntFrozen;
    double frozenA;
    double noiseV = 0.02;

    Bench(long seed) {
      random = new Random(seed);
    }

    double currentA() {
      return sunA - drawA;
    }

    /** At the battery's terminals: 10 mohm inside the bank. */
    double terminalV() {
      return ocvV + 0.010 * currentA();
    }

    void spoil(int meter, Flaw flaw) {
      flaws[meter] = flaw;
      frozenV[meter] = told(meter, Flaw.NONE);
      flawedAt[meter] = now;
    }

    private double told(int meter, Flaw flaw) {
      double at = terminalV() + (meter == 2 ? 0 : CABLE_OHM * currentA());
      double noisy = at + noiseV * (2 * random.nextDouble() - 1);
      double volts = Math.rint(noisy * 1000) / 1000;
      return switch (flaw) {
        case NONE, SILENT -> volts;
        case DEAD -> 0;
        case FROZEN -> frozenV[meter];
        case BIASED -> volts + 1.6;
        case SLIPPED -> volts * 1000;
        case JUMPED -> volts - 3;
        case DRIFTED -> volts - Math.min(1.4, 0.02 * (now - flawedAt[meter]) / SECOND);
      };
    }

    void seconds(double seconds) {
      for (long end = now + Math.round(seconds * SECOND); now < end; ) {
        now += SECOND / 10;
        long tenth = now / (SECOND / 10) % 10;
        if (tenth == 1 && flaws[0] != Flaw.SILENT) {
          in.take(
              new RegulatorTelemetry(
                  0,
                  now,
                  told(0, flaws[0]),
                  regulatorTemperatureC,
                  0,
                  0,
                  sunA,
                  0,
                  0,
                  ChargeStage.BULK,
                  true,
                  false),
              now);
        }
        if (tenth == 4 && flaws[1] != Flaw.SILENT) {
          in.take(
              new InverterTelemetry(
                  0,
                  now,
                  told(1, flaws[1]),
                  -drawA,
                  0,
                  1,
                  60,
                  InverterState.FORMING,
                  InverterTrip.NONE,
                  false,
                  false),
              now);
        }
        if (tenth == 8 && flaws[2] != Flaw.SILENT) {
          double amps = shuntFrozen ? frozenA : currentA() + shuntError;
          in.take(
              new MeterTelemetry(
                  0, now, 1, 60, 0, 0, 0, 1, told(2, flaws[2]), amps, temperatureC, "", false),
              now);
        }
        out.begin();
        estimate.measure(in, now, out);
        for (int i = 0; i < out.events(); i++) {
          events.add(out.reason(i) + " " + out.to(i));
        }
      }
    }

    /** Loads and sun come and go as on a lively day. */
    void live(double seconds) {
      for (double t = 0; t < seconds; t += 2) {
        if (random.nextInt(4) == 0) {
          drawA = random.nextInt(3) == 0 ? 0 : 90 * random.nextDouble();
        }
        sunA = Math.max(0, Math.min(80, sunA + 20 * random.nextGaussian()));
        ocvV = Math.max(47, Math.min(55, ocvV + 0.03 * random.nextGaussian()));
        seconds(2);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void nobodyIsAccusedOnALivelyHealthyDay(long seed) {
    Bench bench = new Bench(seed);
    bench.live(24 * 3600);
    assertEquals(List.of(), bench.events);
    assertFalse(bench.estimate.doubtful());
    assertEquals("", bench.estimate.doubts());
    assertFalse(bench.estimate.belief().careful);
  }

  @Test
  void nobodyIsAccusedWhileTheBankStandsStillWithoutAnyNoise() {
    Bench bench = new Bench(7);
    bench.noiseV = 0;
    bench.seconds(7200);
    assertEquals(List.of(), bench.events);
  }

  /**
   * Every pair of flaws on every pair of meters: as long as two meters are sound the voltage is
   * true within their noise; with one sound meter and another spoiled one, no charge beyond float
   * goes by it; and who is out of range, in a wrong unit or outvoted is named.
   */
  @Test
  void whicheverMeterIsSpoiledTheVoltageStaysTrueAndTheMeterIsNamed() {
    for (int a = 0; a < 3; a++) {
      for (Flaw first : Flaw.values()) {
        for (Flaw second : Flaw.values()) {
          boolean sameLie =
              first == second
                  && (first == Flaw.BIASED || first == Flaw.JUMPED || first == Flaw.DRIFTED);
          for (int step = 1; step <= 2 && !sameLie; step++) {
            spoiled(a, first, (a + step) % 3, second);
          }
        }
      }
    }
  }

  private static void spoiled(int a, Flaw first, int b, Flaw second) {
    String story = NAMES[a] + " " + first + ", " + NAMES[b] + " " + second;
    Bench bench = new Bench(100 * a + 10 * first.ordinal() + second.ordinal());
    bench.live(120);
    bench.spoil(a, first);
    bench.live(180);
    if (first == Flaw.NONE || first == Flaw.SILENT) {
      assertEquals(List.of(), bench.events, story);
    } else {
      assertTrue(bench.estimate.doubts().startsWith(NAMES[a]), story + bench.estimate.doubts());
      assertTrue(bench.estimate.doubtful(), story);
    }
    assertFalse(bench.estimate.belief().careful, story);
    trueVoltage(bench, story);
    bench.spoil(b, second);
    // Two sound meters outvote a third at once; of two each could be the wrong one for a while.
    bench.live(180);
    boolean firstBad = first != Flaw.NONE;
    boolean secondBad = second != Flaw.NONE;
    if (secondBad && firstBad) {
      assertTrue(bench.estimate.belief().careful, story + ": " + bench.estimate.doubts());
    } else {
      trueVoltage(bench, story);
      assertFalse(bench.estimate.belief().careful, story);
    }
    bench.flaws[a] = Flaw.NONE;
    bench.flaws[b] = Flaw.NONE;
    bench.live(60);
    assertEquals("", bench.estimate.doubts(), story + ": believed again");
    assertFalse(bench.estimate.doubtful(), story);
    assertEquals(3, bench.estimate.voices(), story);
  }

  /** The load's last step may not yet have been told by all: it is given two seconds. */
  private static void trueVoltage(Bench bench, String story) {
    bench.seconds(2);
    assertEquals(bench.terminalV(), bench.estimate.voltageV(), 0.05, story);
  }

  @Test
  void aMeterThatComesBackIsBelievedAfterTenSecondsAndNotBefore() {
    Bench bench = new Bench(5);
    bench.live(30);
    bench.spoil(1, Flaw.DEAD);
    bench.seconds(20);
    assertEquals(2, bench.estimate.voices());
    bench.flaws[1] = Flaw.NONE;
    bench.seconds(9.9);
    assertEquals(2, bench.estimate.voices());
    bench.seconds(1.2);
    assertEquals(3, bench.estimate.voices());
    assertEquals(
        List.of(NAMES[1] + " OUT_OF_RANGE", NAMES[1] + " GOOD"), bench.events, "told once each");
  }

  @Test
  void aMeterThatComesAndGoesIsNotToldEachTimeAndRingsInTheEnd() {
    Bench bench = new Bench(6);
    bench.live(30);
    for (int i = 0; i < 20; i++) {
      bench.flaws[1] = Flaw.DEAD;
      bench.seconds(2);
      bench.flaws[1] = Flaw.NONE;
      bench.seconds(4);
    }
    assertEquals(List.of(NAMES[1] + " OUT_OF_RANGE"), bench.events);
    assertTrue(bench.estimate.doubtful());
  }

  @Test
  void ofTwoMetersTheOneThatJumpsIsFoundOut() {
    Bench bench = new Bench(8);
    bench.live(30);
    bench.spoil(0, Flaw.SILENT);
    bench.live(30);
    bench.spoil(2, Flaw.JUMPED);
    bench.seconds(3);
    assertEquals(List.of(NAMES[2] + " JUMPED"), bench.events);
    assertEquals(bench.terminalV(), bench.estimate.voltageV(), 0.05);
    assertTrue(bench.estimate.belief().careful, "one voice is left");
  }

  /** Nobody can tell which of two is wrong, and both are named. */
  @Test
  void twoThatDriftApartAreBothNamedAndChargingGoesCarefully() {
    Bench bench = new Bench(9);
    bench.live(30);
    bench.spoil(0, Flaw.SILENT);
    bench.spoil(1, Flaw.DRIFTED);
    bench.live(150);
    assertTrue(
        bench.events.contains("battery voltage by inverter or meter DISAGREES"),
        bench.events::toString);
    assertTrue(bench.estimate.belief().careful);
    assertTrue(bench.estimate.doubtful());
  }

  /** Charging at 80 A the cable of 3 mohm lifts both converters' terminals by 0.24 V. */
  @Test
  void theDropOfTheCableIsReckonedWithItsSign() {
    for (double amps : new double[] {80, -80}) {
      Bench bench = new Bench(10);
      bench.noiseV = 0;
      bench.sunA = Math.max(0, amps);
      bench.drawA = Math.max(0, -amps);
      bench.seconds(5);
      assertEquals(50 + 0.010 * amps, bench.estimate.voltageV(), 1e-3);
      bench.spoil(2, Flaw.SILENT);
      bench.seconds(5);
      assertEquals(50 + 0.010 * amps, bench.estimate.voltageV(), 1e-3, "by the converters alone");
    }
  }

  @Test
  void aFrozenShuntIsFoundOutAndTheConvertersCountInstead() {
    Bench bench = new Bench(11);
    bench.live(60);
    bench.sunA = 0;
    bench.drawA = 0;
    bench.seconds(10);
    bench.frozenA = 0;
    bench.shuntFrozen = true;
    double before = bench.estimate.soc();
    for (int i = 0; i < 360; i++) {
      bench.drawA = 40 + i % 7;
      bench.seconds(10);
    }
    assertTrue(
        bench.events.contains("battery current by the meter FROZEN"), bench.events::toString);
    double taken = (40 + 3.0) / SITE.battery().capacity20hAh();
    assertEquals(before - taken, bench.estimate.soc(), 0.01, "an hour at 43 A is counted");
    assertFalse(bench.estimate.belief().currentSure);
  }

  @Test
  void aShuntThatReadsOtherwiseThanTheConvertersMakesTheCountLessSure() {
    Bench sound = new Bench(12);
    Bench wrong = new Bench(12);
    for (Bench bench : List.of(sound, wrong)) {
      bench.drawA = 50;
      bench.seconds(60);
    }
    wrong.shuntError = 12;
    sound.seconds(3600);
    wrong.seconds(3600);
    assertEquals(List.of(), sound.events);
    assertEquals(List.of("battery current by the meter DISAGREES"), wrong.events);
    double soundDoubt = sound.estimate.soc() - sound.estimate.sureSoc();
    double wrongDoubt = wrong.estimate.soc() - wrong.estimate.sureSoc();
    assertTrue(wrongDoubt >= soundDoubt, wrongDoubt + " against " + soundDoubt);
    assertTrue(wrong.estimate.doubtful());
  }

  /** A dead sensor reads 0 °C beside one at 25 °C: the warmer sets the voltages, both are named. */
  @Test
  void twoTemperaturesThatDifferCountEachToTheSafeSide() {
    Bench bench = new Bench(13);
    bench.seconds(5);
    bench.temperatureC = 0;
    bench.seconds(5);
    assertEquals(25, bench.estimate.belief().warmestC);
    assertEquals(0, bench.estimate.belief().coldestC);
    bench.seconds(66); // a minute, and the five seconds of every disagreement
    assertEquals(
        List.of(
            "battery temperature by the meter DISAGREES",
            "battery temperature by the regulator DISAGREES"),
        bench.events);
    bench.temperatureC = 25;
    bench.seconds(11.5);
    assertEquals("", bench.estimate.doubts());
  }

  @Test
  void anImpossibleTemperatureIsNotUsed() {
    Bench bench = new Bench(14);
    bench.seconds(5);
    bench.temperatureC = -60;
    bench.seconds(5);
    assertEquals(25, bench.estimate.belief().coldestC);
    assertEquals(List.of("battery temperature by the meter OUT_OF_RANGE"), bench.events);
    bench.regulatorTemperatureC = 120;
    bench.seconds(599);
    assertTrue(bench.estimate.belief().temperatureKnown, "the last word holds for ten minutes");
    bench.seconds(10);
    assertFalse(bench.estimate.belief().temperatureKnown);
    assertTrue(bench.estimate.belief().careful);
  }

  @ParameterizedTest
  @EnumSource(value = SignalStatus.class, names = "GOOD", mode = EnumSource.Mode.EXCLUDE)
  void everyFlawCanBeFound(SignalStatus status) {
    Bench bench = new Bench(15);
    bench.live(60);
    bench.spoil(
        0,
        switch (status) {
          case GOOD -> Flaw.NONE;
          case DISAGREES -> Flaw.DRIFTED;
          case JUMPED -> Flaw.JUMPED;
          case FROZEN -> Flaw.FROZEN;
          case UNIT_SLIP -> Flaw.SLIPPED;
          case OUT_OF_RANGE -> Flaw.DEAD;
        });
    bench.live(180);
    assertTrue(bench.events.contains(NAMES[0] + " " + status), bench.events::toString);
  }

  /** An hour at 60 A in bulk: the voltage alone takes the battery for fuller than it is. */
  @Test
  void theVoltageAloneIsShownBesideTheCountAndIsWrongUnderCharge() {
    Bench bench = new Bench(16);
    bench.noiseV = 0;
    bench.seconds(5);
    double resting = bench.estimate.voltageSoc();
    assertEquals(bench.estimate.soc(), resting, 0.01, "at rest both say the same");
    bench.sunA = 60;
    bench.seconds(5);
    assertTrue(bench.estimate.voltageSoc() > resting + 0.1);
    assertEquals(resting, bench.estimate.soc(), 0.01);
  }
}
