package islet.control;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Judged by the definition of the milli and kilo of the SI: a factor of a thousand. */
class UnitSlipTest {

  @Test
  void millivoltsAndKilovoltsAreRecognisedWithinTheDropOfACable() {
    assertTrue(UnitSlip.between(53_000, 53));
    assertTrue(UnitSlip.between(0.053, 53));
    assertTrue(UnitSlip.between(51_500, 53));
  }

  @Test
  void aTrueVoltageADeadBusAndAnotherWrongValueAreNotSlips() {
    assertFalse(UnitSlip.between(53, 53));
    assertFalse(UnitSlip.between(0, 53));
    assertFalse(UnitSlip.between(-53_000, 53));
    assertFalse(UnitSlip.between(530, 53));
    assertFalse(UnitSlip.between(70_000, 53));
  }
}
