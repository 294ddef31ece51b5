package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Judged by the points of the ITI (CBEMA) curve application note, 2000 (from memory). */
class VoltageEnvelopeTest {

  private static List<VoltageExcursion> excursions(double pu, double seconds) {
    VoltageEnvelope envelope = new VoltageEnvelope();
    envelope.voltage(0, 1);
    envelope.voltage(5_000_000, pu);
    envelope.voltage(5_000_000 + Math.round(seconds * 1e6), 1);
    envelope.finish(100_000_000);
    return envelope.excursions();
  }

  @ParameterizedTest
  @CsvSource({
    "0,    0.020, true", "0,    0.021, false",
    "0.69, 0.020, true", "0.69, 0.021, false",
    "0.70, 0.500, true", "0.70, 0.501, false",
    "0.80, 10.00, true", "0.80, 10.01, false",
    "0.89, 10.00, true", "0.89, 10.01, false",
    "1.20, 0.500, true", "1.20, 0.501, false",
    "1.40, 0.003, true", "1.40, 0.004, false"
  })
  void eachPointOfTheCurveIsBorneAndALittleMoreIsNot(double pu, double seconds, boolean inside) {
    List<VoltageExcursion> excursions = excursions(pu, seconds);
    assertEquals(1, excursions.size());
    VoltageExcursion excursion = excursions.get(0);
    assertEquals(inside, excursion.insideItic(), excursion.note());
    assertEquals(5_000_000, excursion.startMicros());
    assertEquals(seconds, excursion.durationS(), 1e-9);
    assertEquals(pu, excursion.voltagePu());
  }

  @ParameterizedTest
  @CsvSource({"0.9", "1", "1.1"})
  void steadyVoltageWithinATenthIsNoExcursion(double pu) {
    assertTrue(excursions(pu, 50).isEmpty());
  }

  @Test
  void aSlowRecoveryIsOneExcursionJudgedStepByStep() {
    VoltageEnvelope envelope = new VoltageEnvelope();
    envelope.voltage(0, 1);
    envelope.voltage(1_000_000, 0);
    envelope.voltage(1_015_000, 0.75);
    envelope.voltage(1_520_000, 0.95);
    envelope.finish(9_000_000);
    VoltageExcursion excursion = envelope.excursions().get(0);
    assertEquals(0.52, excursion.durationS(), 1e-9);
    assertFalse(excursion.insideItic());
    assertEquals("below 0.8 pu for 0.52 s where 0.5 s are borne", excursion.note());
  }

  @Test
  void anExcursionThatTheRunEndsInIsListed() {
    VoltageEnvelope envelope = new VoltageEnvelope();
    envelope.voltage(0, 0);
    envelope.finish(7_000_000);
    assertEquals(7, envelope.excursions().get(0).durationS(), 1e-9);
  }
}
