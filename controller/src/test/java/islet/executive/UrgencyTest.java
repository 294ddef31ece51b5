package islet.executive;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.MeterTelemetry;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/**
 * Judged by the demo site's own settings: it leaves a utility below 0.70 per unit at once ({@code
 * onSag: separate}), and what happens then cannot wait.
 */
class UrgencyTest {

  private final Urgency urgency = new Urgency(demo());

  private static Site demo() {
    return SiteReader.read(
        Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));
  }

  private static MeterTelemetry meter(double utilityPu) {
    return new MeterTelemetry(0, 0, utilityPu, 60, 0, 0, 0, 1, 50, 0, 15, "", false);
  }

  private static TieTelemetry tie(boolean closed, double utilityPu, TieTrip trip) {
    return new TieTelemetry(0, 0, closed, closed, utilityPu, 60, 1, 60, 0, trip, false, false);
  }

  @Test
  void aUtilityThatFallsBelowTheVoltageAtWhichTheSiteLeavesIsUrgentOnce() {
    urgency.heard(meter(1), meter(0.71), true);
    assertFalse(urgency.taken(), "a sag to 0.71 is ridden through for a while");
    urgency.heard(meter(0.71), meter(0.69), true);
    assertTrue(urgency.taken());
    assertFalse(urgency.taken());
    urgency.heard(meter(0.69), meter(0), true);
    assertFalse(urgency.taken(), "it had fallen before");
  }

  @Test
  void theMetersWordIsUrgentOnlyWhereNoTieIsHeard() {
    urgency.heard(meter(1), meter(0), false);
    assertFalse(urgency.taken(), "the tie's word decides and is about to come");
    urgency.heard(tie(true, 1, TieTrip.NONE), tie(true, 0, TieTrip.NONE));
    assertTrue(urgency.taken());
  }

  @Test
  void aUtilityThatReturnsBeginsItsDelayAndIsNotUrgent() {
    urgency.heard(meter(0), meter(1), true);
    assertFalse(urgency.taken());
  }

  @Test
  void aContactThatMovesAndAProtectionThatActsAreUrgent() {
    urgency.heard(tie(true, 1, TieTrip.NONE), tie(true, 0.99, TieTrip.NONE));
    assertFalse(urgency.taken());
    urgency.heard(tie(true, 1, TieTrip.NONE), tie(false, 1, TieTrip.NONE));
    assertTrue(urgency.taken());
    urgency.heard(tie(false, 1, TieTrip.NONE), tie(false, 1, TieTrip.SAG));
    assertTrue(urgency.taken());
  }
}
