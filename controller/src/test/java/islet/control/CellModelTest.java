package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Lead-acid by a handbook's resting voltages and by hand arithmetic with the resistances of
 * Copetti, Lorenzo and Chenlo (1993, from memory) for the demo bank of 400 Ah, whose ten-hour
 * capacity is 376 Ah; lithium by its resting curve and a drop of 120 mV at the one-hour current.
 */
class CellModelTest {

  private final CellModel lead = CellModel.of(Sites.demo().battery());
  private final CellModel lithium = CellModel.of(Sites.named("ferry-landing-lfp").battery());
  private final double lithiumAh = Sites.named("ferry-landing-lfp").battery().capacity20hAh();

  /** Six cells make the 12 V of the table; halfway between two entries lies their mean. */
  @ParameterizedTest
  @CsvSource({
    "1.00, 12.73",
    "0.95, 12.675",
    "0.90, 12.62",
    "0.50, 12.10",
    "0.25, 11.735",
    "0.20, 11.66",
    "0.10, 11.51",
    "0.00, 11.36",
  })
  void leadRestsByTheTable(double charge, double twelve) {
    assertEquals(twelve, 6 * lead.restingV(charge), 1e-9);
  }

  /**
   * By hand: 37.6 A are 0.1 of the ten-hour capacity; 37.6^1.3 = 111.6, so that 4 / 112.6 + 0.27 /
   * 0.3536 + 0.02 = 0.8192 and the drop is 81.9 mV; 20 K colder it is 14 % more. Charging it is 6 /
   * 23.6 + 0.23 / 0.4353 + 0.036 = 0.8183, and half as much again at 5 °C. Below 2 % the share
   * counts as 2 %.
   */
  @ParameterizedTest
  @CsvSource({
    "0.50, -37.6, 25, -0.08192",
    "0.50, -37.6, 5, -0.09339",
    "0.02, -37.6, 25, -9.5515",
    "0.01, -37.6, 25, -9.5515",
    "0.30, -80, 25, -0.35671",
    "0.50, 37.6, 25, 0.08183",
    "0.50, 37.6, 5, 0.12275",
    "0.90, 20, 25, 0.21837",
    "0.50, 0, 25, 0",
  })
  void leadDropsByItsResistances(double charge, double amps, double celsius, double volts) {
    assertEquals(volts, lead.dropV(charge, amps, celsius), 5e-5 * Math.max(1, Math.abs(volts)));
  }

  /** Common practice: at C/10 a cell comes to 2.40 V when it is 85 to 90 % full. */
  @Test
  void leadComesToItsAbsorptionVoltageWhereTheTradeSaysSo() {
    assertTrue(lead.restingV(0.85) + lead.dropV(0.85, 37.6, 25) < 2.40);
    assertTrue(lead.restingV(0.90) + lead.dropV(0.90, 37.6, 25) > 2.40);
  }

  @ParameterizedTest
  @CsvSource({
    "0, 2.50",
    "0.05, 2.75",
    "0.10, 3.00",
    "0.15, 3.10",
    "0.50, 3.26",
    "0.75, 3.31",
    "0.90, 3.35",
    "0.95, 3.375",
    "1, 3.40",
  })
  void lithiumRestsByItsCurve(double charge, double volts) {
    assertEquals(volts, lithium.restingV(charge), 1e-9);
  }

  /** At the one-hour current 120 mV; half the current half of it; twice as much at 0 °C. */
  @ParameterizedTest
  @CsvSource({
    "1, 25, 0.12",
    "-1, 25, -0.12",
    "0.5, 25, 0.06",
    "0.5, 0, 0.12",
    "1, 50, 0.06",
    "0, 0, 0",
  })
  void lithiumDropsByItsResistance(double perHour, double celsius, double volts) {
    assertEquals(volts, lithium.dropV(0.5, perHour * lithiumAh, celsius), 1e-9);
  }

  @Test
  void restTellsALeadCellsChargeAndALithiumCellsOnlyWhereItsCurveIsSteep() {
    assertTrue(lead.tellsAtRest(0.5));
    assertTrue(lithium.tellsAtRest(0.149));
    assertFalse(lithium.tellsAtRest(0.15));
    assertFalse(lithium.tellsAtRest(0.5));
    assertEquals(0.03, lead.guessDoubt());
    assertEquals(0.10, lithium.guessDoubt());
  }

  /** A flooded bank loses a few hundredths of what it is charged, a lithium one next to nothing. */
  @Test
  void leadLosesMoreOfItsChargeThanLithium() {
    assertTrue(lead.coulombicShare() >= 0.95 && lead.coulombicShare() < 0.99);
    assertTrue(lithium.coulombicShare() > 0.99 && lithium.coulombicShare() < 1);
  }
}
