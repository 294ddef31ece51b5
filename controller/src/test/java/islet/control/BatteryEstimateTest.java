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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The count of the charge, judged by coulombs, by the cell's own curves and by least squares worked
 * out by hand. Meters report each second and agree; the demo's bank of lead has 24 cells and 400
 * Ah, of which full it holds 415 Ah.
 */
class BatteryEstimateTest {

  private static final long SECOND = 1_000_000;
  private static final double HELD_AH = 400 * 1.0375;

  private Site site = Sites.demo();
  private CellModel cell = CellModel.of(site.battery());
  private BatteryEstimate estimate = new BatteryEstimate(site);
  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private long now = FakeSite.START;
  private double volts = 50;
  private double amps;
  private double celsius = 25;
  private boolean meter = true;
  private boolean converters = true;

  private void lithium() {
    site = Sites.named("ferry-landing-lfp");
    cell = CellModel.of(site.battery());
    estimate = new BatteryEstimate(site);
  }

  private void seconds(long seconds) {
    double dropV = site.battery().cableOhm() * amps;
    for (long end = now + seconds * SECOND; now < end; ) {
      now += SECOND;
      if (converters) {
        in.take(
            new RegulatorTelemetry(
                0,
                now,
                volts + dropV,
                celsius,
                0,
                0,
                Math.max(0, amps),
                0,
                0,
                ChargeStage.BULK,
                true,
                false),
            now);
        in.take(
            new InverterTelemetry(
                0,
                now,
                volts + dropV,
                Math.min(0, amps),
                0,
                1,
                60,
                InverterState.FOLLOWING,
                InverterTrip.NONE,
                false,
                false),
            now);
      }
      if (meter) {
        in.take(
            new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, amps, celsius, "", false), now);
      }
      out.begin();
      estimate.measure(in, now, out);
    }
  }

  private double resting(double soc) {
    return site.battery().cells() * cell.restingV(soc);
  }

  /** As after a restart that took no time: the next report comes a second later. */
  private void goOnFrom(double soc, double doubt) {
    estimate.keep(
        new Given()
            .with("charge known", true)
            .with("charge", soc)
            .with("charge doubt", doubt)
            .with("charge counted at", now + SECOND));
  }

  private double doubt() {
    return estimate.soc() - estimate.sureSoc();
  }

  // The first word.

  /** A hundredth of the capacity, 4 A, still counts as rest. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 4, -4})
  void aRestingBatteryIsReadFromItsRestingVoltage(double resting) {
    amps = resting;
    volts = resting(0.7);
    seconds(1);
    assertTrue(estimate.known());
    assertEquals(0.7, estimate.soc(), 1e-6);
    assertEquals(0.03, doubt(), 1e-9);
  }

  @ParameterizedTest
  @CsvSource({"0.6, -40, 25", "0.6, 40, 25", "0.6, -40, 5", "0.35, -20, 25", "0.8, 30, 25"})
  void aLoadedOneIsReadWithTheDropOfItsCurrentTakenOff(double soc, double current, double warmth) {
    amps = current;
    celsius = warmth;
    volts = resting(soc) + 24 * cell.dropV(soc, current, warmth);
    seconds(1);
    assertEquals(soc, estimate.soc(), 1e-6);
  }

  @Test
  void beyondTheCurvesEndsItIsFullOrEmpty() {
    volts = 60;
    seconds(1);
    assertEquals(1, estimate.soc(), 1e-6);
    estimate = new BatteryEstimate(site);
    amps = -40;
    seconds(1);
    assertEquals(0.99, estimate.soc(), 1e-6, "under load nobody calls it quite full");
    estimate = new BatteryEstimate(site);
    volts = 42;
    amps = 0;
    seconds(1);
    assertEquals(0, estimate.soc(), 1e-6);
  }

  @Test
  void withoutVoltageOrCurrentNothingIsKnown() {
    meter = false;
    converters = false;
    seconds(2);
    assertFalse(estimate.known());
    converters = true;
    seconds(1);
    assertTrue(estimate.known());
  }

  // The count.

  @Test
  void anHourOutIsSubtractedAndOfAnHourInTheStoredShareIsAdded() {
    goOnFrom(0.6, 0.02);
    amps = -40;
    seconds(3601);
    assertEquals(0.6 - 40 / HELD_AH, estimate.soc(), 1e-9);
    assertEquals(0.02 + 0.01 * 40 / HELD_AH, doubt(), 1e-9);
    amps = 40;
    seconds(3600);
    assertEquals(0.6 - 40 / HELD_AH * (1 - 0.97), estimate.soc(), 1e-9);
    assertEquals(0.02 + 0.01 * 80 / HELD_AH, doubt(), 1e-9);
  }

  @Test
  void theDoubtIsNeverWorseThanAGuessFromTheVoltage() {
    goOnFrom(0.6, 0.0299);
    amps = -40;
    seconds(3601);
    assertEquals(0.03, doubt(), 1e-12);
  }

  /** By the converters alone: five hundredths of what passes. */
  @Test
  void withoutTheShuntTheConvertersCountAndTheDoubtGrowsFaster() {
    goOnFrom(0.6, 0.01);
    meter = false;
    amps = -40;
    seconds(3601);
    assertEquals(0.6 - 40 / HELD_AH, estimate.soc(), 1e-9);
    assertEquals(0.01 + 0.05 * 40 / HELD_AH, doubt(), 1e-9);
  }

  /** Unheard for 3 s more than it is believed: 33 of 36 s at the ten-hour rate. */
  @Test
  void blindTheCountStandsStillAndTheDoubtGrows() {
    goOnFrom(0.6, 0.01);
    amps = -40;
    seconds(1);
    double before = estimate.soc();
    meter = false;
    converters = false;
    seconds(36);
    assertEquals(before - 3 * 40 / 3600.0 / HELD_AH, estimate.soc(), 1e-9);
    double blind = 33 / 3600.0 / 10;
    assertEquals(0.01 + 0.01 * 3 * 40 / 3600.0 / HELD_AH + blind, doubt(), 1e-9);
    seconds(3600);
    assertEquals(0.03, doubt(), 1e-12);
  }

  @Test
  void aFullChargeSetsTheCount() {
    goOnFrom(0.9, 0.03);
    seconds(1);
    estimate.full();
    assertEquals(1, estimate.soc());
    assertEquals(0.025, doubt(), 1e-12, "lead: some hundredths may still be missing");
    lithium();
    estimate.full();
    assertEquals(0.01, doubt(), 1e-12);
  }

  @Test
  void theCountStaysBetweenEmptyAndFull() {
    goOnFrom(0.999, 0.01);
    amps = 40;
    seconds(600);
    assertEquals(1, estimate.soc());
    goOnFrom(0.001, 0.01);
    amps = -40;
    seconds(600);
    assertEquals(0, estimate.soc());
    assertEquals(0, estimate.sureSoc());
  }

  // The correction at rest.

  /**
   * Count 0.65 with a doubt of 0.04 beside a voltage of 0.70 with 0.03. By least squares 0.65 + 16
   * / 25 of the gap, and a doubt of 0.04 · 0.03 / 0.05. Three hours of rest and not less.
   */
  @Test
  void afterThreeHoursOfRestCountAndVoltageAreWeighed() {
    volts = resting(0.70);
    goOnFrom(0.65, 0.04);
    seconds(2); // the doubt of a count is never above that of a guess: 0.03
    assertEquals(0.03, doubt(), 1e-12);
    seconds(3 * 3600 - 1);
    assertEquals(0.65, estimate.soc(), 1e-12);
    seconds(1);
    assertEquals(0.675, estimate.soc(), 1e-6, "two equal doubts meet in the middle");
    assertEquals(0.03 / Math.sqrt(2), doubt(), 1e-9);
    seconds(3 * 3600);
    assertEquals(0.675, estimate.soc(), 1e-6, "not asked twice in one rest of three hours");
    seconds(1);
    // Now 0.0212 against 0.03: a third of the gap that is left.
    assertEquals(0.675 + 0.025 / 3, estimate.soc(), 1e-6);
    assertEquals(0.03 / Math.sqrt(3), doubt(), 1e-9);
  }

  /** 0.015 against 0.03: a fifth. */
  @Test
  void theSurerCountGivesWayLess() {
    volts = resting(0.70);
    goOnFrom(0.66, 0.015);
    seconds(3 * 3600 + 2);
    assertEquals(0.66 + 0.2 * 0.04, estimate.soc(), 1e-6);
    assertEquals(0.015 * 0.03 / Math.sqrt(0.015 * 0.015 + 0.03 * 0.03), doubt(), 1e-9);
  }

  /** Doubts of 0.015 and 0.03 explain 0.045 and no more, whichever side it is off. */
  @ParameterizedTest
  @CsvSource({"0.656, false", "0.654, true", "0.744, false", "0.746, true"})
  void aCountBeyondBothDoubtsHasLostItsWay(double counted, boolean lost) {
    volts = resting(0.70);
    goOnFrom(counted, 0.015);
    seconds(3 * 3600 + 2);
    assertEquals(lost ? 0.70 : counted + 0.2 * (0.70 - counted), estimate.soc(), 1e-6);
    if (lost) {
      assertEquals(0.03, doubt(), 1e-12);
    }
  }

  /**
   * A four-hundredth of the capacity, 1 A, is rest; more is none, and the three hours begin anew.
   */
  @ParameterizedTest
  @CsvSource({"1, true", "-1, true", "1.1, false", "-1.1, false"})
  void aSmallCurrentIsRestAndALargerOneIsNot(double current, boolean rests) {
    volts = resting(0.70);
    goOnFrom(0.72, 0.015);
    seconds(2 * 3600);
    amps = current;
    seconds(60);
    double counted = estimate.soc();
    amps = 0;
    seconds(3600);
    assertEquals(rests, Math.abs(estimate.soc() - counted) > 1e-9);
    seconds(2 * 3600 + 2);
    assertTrue(Math.abs(estimate.soc() - counted) > 1e-9, "three hours after the last current");
  }

  @Test
  void withoutAVoltageARestTeachesNothing() {
    volts = 0;
    goOnFrom(0.65, 0.015);
    seconds(3 * 3600 + 2);
    assertEquals(0.65, estimate.soc(), 1e-12);
  }

  /** On the plain of lithium iron phosphate the count is believed, below a sixth the voltage. */
  @Test
  void theFlatMiddleOfLithiumTeachesNothing() {
    lithium();
    volts = resting(0.55);
    goOnFrom(0.65, 0.05);
    seconds(3 * 3600 + 2);
    assertEquals(0.65, estimate.soc(), 1e-12);
    estimate = new BatteryEstimate(site);
    volts = resting(0.10);
    goOnFrom(0.15, 0.05);
    seconds(3 * 3600 + 2);
    assertEquals(0.15 - 0.05 * 0.05 * 0.05 / (0.05 * 0.05 + 0.01), estimate.soc(), 1e-6);
  }

  // Going on after a restart.

  @Test
  void theTimeOfARestartAddsToTheDoubtAsBlindTimeDoes() {
    volts = resting(0.70);
    goOnFrom(0.65, 0.01);
    now += 600 * SECOND;
    seconds(1);
    assertEquals(0.65, estimate.soc(), 1e-9);
    assertEquals(0.01 + 600 / 36_000.0, doubt(), 1e-9);
  }

  /** 0.03 of doubt have grown after 18 minutes: then the voltage says as much. */
  @ParameterizedTest
  @CsvSource({"1079, 0.65", "1080, 0.70", "86400, 0.70", "-60, 0.70"})
  void afterLongOrAClockSetBackTheVoltageIsAsked(long laterS, double soc) {
    volts = resting(0.70);
    goOnFrom(0.65, 0.01);
    now += laterS * SECOND;
    seconds(1);
    assertEquals(soc, estimate.soc(), 1e-6);
    assertEquals(0.03, doubt(), 1e-4);
  }

  @Test
  void whatWasNeverKnownIsNotGoneOnWith() {
    Given kept = new Given();
    estimate.keep(kept);
    assertEquals(false, kept.seen("charge known"));
    volts = resting(0.40);
    seconds(1);
    assertEquals(0.40, estimate.soc(), 1e-6);
  }

  // What is shown and told.

  @Test
  void theVoltageAloneIsLookedAtOnceASecond() {
    volts = resting(0.70);
    seconds(1);
    assertEquals(0.70, estimate.voltageSoc(), 1e-6);
    volts = resting(0.60);
    seconds(1);
    assertEquals(0.60, estimate.voltageSoc(), 1e-6, "a second later");
    volts = resting(0.50);
    in.take(new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, amps, celsius, "", false), now);
    estimate.measure(in, now + SECOND / 2, out);
    assertEquals(0.60, estimate.voltageSoc(), 1e-6, "not half a second later");
    volts = 0;
    seconds(1);
    assertEquals(0.60, estimate.voltageSoc(), 1e-6, "nor by nobody's word");
  }

  /** The shunt tells 5000 A, the meter's sensor 200 °C, its voltmeter 0 V: each is named. */
  @Test
  void everyDoubtedMeasurementIsNamed() {
    seconds(2);
    assertEquals("", estimate.doubts());
    assertFalse(estimate.doubtful());
    for (int i = 0; i < 6; i++) {
      now += SECOND;
      in.take(new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, 0, 5000, 200, "", false), now);
      out.begin();
      estimate.measure(in, now, out);
    }
    assertEquals(
        "battery voltage by the meter OUT_OF_RANGE, battery current by the meter OUT_OF_RANGE,"
            + " battery temperature by the meter OUT_OF_RANGE",
        estimate.doubts());
    assertTrue(estimate.doubtful());
  }
}
