package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/**
 * When an equalising charge is due and when it is over, to the microsecond; judged by the demo
 * bank's description: 60.0 V, 20 A, two hours, no warmer than 40 °C, and here every 720 hours.
 */
class EqualisingTest {

  private static final long HOUR = 3600 * 1_000_000L;
  private static final long NOW = FakeSite.START;

  private static Equalising every(String interval) {
    return new Equalising(
        Sites.demo("battery.charge.equalise.every", interval).battery().charge().equalise());
  }

  @Test
  void itIsDueWhenTheIntervalIsOverToTheMicrosecond() {
    Equalising equalising = every("720 h");
    assertFalse(equalising.due(25, NOW));
    assertFalse(equalising.due(25, NOW + 720 * HOUR - 1));
    assertTrue(equalising.due(25, NOW + 720 * HOUR));
    assertTrue(equalising.due(40, NOW + 720 * HOUR));
    assertFalse(equalising.due(40.1, NOW + 720 * HOUR));
    assertEquals(60.0, equalising.voltageV());
    assertEquals(20.0, equalising.limitA());
  }

  @Test
  void withoutAnIntervalItIsNeverDueByItself() {
    Equalising equalising = new Equalising(Sites.demo().battery().charge().equalise());
    assertFalse(equalising.due(25, NOW));
    assertFalse(equalising.due(25, NOW + 100_000 * HOUR));
    assertEquals("", equalising.ask());
    assertTrue(equalising.due(25, NOW + 100_000 * HOUR));
  }

  @Test
  void itIsOverWhenItHasHadItsTimeAtTheVoltage() {
    Equalising equalising = every("720 h");
    equalising.begin(NOW);
    assertTrue(equalising.goesOn(true, 25, 2 * HOUR - 1, NOW + 2 * HOUR - 1));
    assertFalse(equalising.complete());
    assertTrue(equalising.goesOn(false, 25, HOUR, NOW + 3 * HOUR));
    assertFalse(equalising.goesOn(true, 25, 1, NOW + 3 * HOUR + 1));
    assertTrue(equalising.complete());
  }

  @Test
  void itIsGivenUpAfterThreeTimesItsTimeOrWhenTooWarm() {
    Equalising equalising = every("720 h");
    equalising.begin(NOW);
    assertTrue(equalising.goesOn(false, 40, 1, NOW + 6 * HOUR - 1));
    assertFalse(equalising.goesOn(false, 40, 1, NOW + 6 * HOUR));
    assertFalse(equalising.goesOn(false, 40.1, 1, NOW + HOUR));
    assertFalse(equalising.complete());
  }
}
