package islet.control;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import org.junit.jupiter.api.Test;

/**
 * What is not known counts as the dangerous case: a battery that was found empty counts as empty
 * until somebody measures its voltage again. Judged by what the meters say in the story.
 */
class EmptyBatteryTest {

  /** A site whose inverter can trip at its low-voltage disconnect. */
  private static final class TrippingSite extends FakeSite {
    private boolean tripped;

    TrippingSite() {
      super(Sites.demo());
    }

    @Override
    void report() {
      super.report();
      if (tripped) {
        in.take(
            new InverterTelemetry(
                0,
                now,
                batteryV,
                0,
                0,
                1,
                60,
                InverterState.FAULT,
                InverterTrip.DC_LOW,
                false,
                false),
            now);
      }
    }
  }

  @Test
  void aVoltageFromBeforeDoesNotReviveIt() {
    TrippingSite site = new TrippingSite();
    site.connected();
    assertTrue(site.out.islandPermit);
    site.tripped = true;
    site.scan();
    assertFalse(site.out.islandPermit, "the inverter has just found the battery empty");
    site.tripped = false;
    site.batteryV = 0;
    site.scan();
    assertFalse(site.out.islandPermit, "no meter gives a voltage");
    site.batteryV = 49.6;
    site.scan();
    assertTrue(site.out.islandPermit, "three meters say that it has recovered");
  }
}
