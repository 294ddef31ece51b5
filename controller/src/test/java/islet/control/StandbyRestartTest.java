package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.OperatorOrder;
import org.junit.jupiter.api.Test;

/**
 * An inverter that trips while the utility carries the panels is started again by the rule that the
 * documents state for an island: off at once, half a minute of rest, three times in a row, then a
 * person. Judged by what a simple inverter does, which stays tripped until it is ordered off.
 */
class StandbyRestartTest {

  /** Its inverter trips when it is told to, and stays so until it is ordered off. */
  private static final class Tripping extends FakeSite {
    private boolean broken;
    private int trips;

    Tripping(String name) {
      super(Sites.named(name));
      batteryV = 49.6 / 48 * site.battery().nominalV();
    }

    @Override
    void obey() {
      boolean stays = inverter == InverterState.FAULT && out.inverter != InverterOrder.OFF;
      super.obey();
      boolean runs = inverter == InverterState.FOLLOWING || forming();
      if (stays || (broken && runs)) {
        trip();
      }
    }

    private void trip() {
      trips += inverter == InverterState.FAULT ? 0 : 1;
      inverter = InverterState.FAULT;
      inverterTrip = InverterTrip.OVERLOAD;
    }

    Tripping tripped() {
      connected();
      trip();
      trips = 1;
      scan();
      return this;
    }
  }

  private static Tripping tripped() {
    return new Tripping("ferry-landing").tripped();
  }

  @Test
  void itIsOrderedOffAtOnceAndOnAgainAfterHalfAMinute() {
    Tripping site = tripped();
    assertEquals(InverterState.OFF, site.inverter);
    assertEquals(0, site.out.chargeLimitA, "nothing is asked of it meanwhile");
    site.seconds(29.9);
    assertEquals(InverterState.OFF, site.inverter);
    site.seconds(0.2);
    assertEquals(InverterState.FOLLOWING, site.inverter);
    assertEquals(Phase.CONNECTED, site.phase());
  }

  @Test
  void afterThreeTripsInARowItStaysOffUntilAPersonResets() {
    Tripping site = tripped();
    site.broken = true;
    site.seconds(600);
    assertEquals(3, site.trips);
    assertEquals(InverterState.OFF, site.inverter);
    site.broken = false;
    site.seconds(600);
    assertEquals(InverterState.OFF, site.inverter);
    site.ask(OperatorOrder.RESET, "");
    site.seconds(0.2);
    assertEquals(InverterState.FOLLOWING, site.inverter);
  }

  @Test
  void tenGoodMinutesBeginTheCountAnew() {
    Tripping site = tripped();
    for (int i = 0; i < 5; i++) {
      site.seconds(31 + 601);
      assertEquals(InverterState.FOLLOWING, site.inverter);
      site.trip();
      site.scan();
    }
    site.seconds(31 + 590);
    site.trip();
    site.seconds(31 + 590);
    site.trip();
    site.seconds(600);
    assertEquals(InverterState.OFF, site.inverter);
  }

  @Test
  void anIslandInBetweenBeginsTheCountAnew() {
    Tripping site = tripped();
    site.broken = true;
    site.seconds(600);
    assertEquals(3, site.trips);
    site.broken = false;
    site.utilityPu = 0;
    site.until(Phase.CARRY, 1);
    site.utilityPu = 1;
    site.until(Phase.CONNECTED, 330);
    site.trip();
    site.seconds(30.2);
    assertEquals(InverterState.FOLLOWING, site.inverter);
  }

  @Test
  void underManualAuthorityAPersonStartsIt() {
    Tripping site = new Tripping("ferry-landing");
    site.ask(OperatorOrder.MANUAL, "");
    site.tripped().seconds(100);
    assertEquals(InverterState.OFF, site.inverter);
    site.ask(OperatorOrder.RESET, "");
    site.seconds(0.2);
    assertEquals(InverterState.FOLLOWING, site.inverter);
  }

  /** There is no better time to come than now: the panel is dead. */
  @Test
  void anOutageDoesNotWaitForTheRestToEnd() {
    Tripping site = tripped();
    site.utilityPu = 0;
    site.until(Phase.CARRY, 1);
    assertTrue(site.forming());
  }

  @Test
  void oneBesideAChangeoverSwitchRestsAsWell() {
    Tripping site = new Tripping("ferry-landing-changeover").tripped();
    assertEquals(InverterState.OFF, site.inverter);
    site.seconds(29.9);
    assertFalse(site.forming());
    site.seconds(0.2);
    assertTrue(site.forming());
  }

  /** The battery's floor is a cause of its own, with an alarm and an end of its own. */
  @Test
  void oneThatStopsAtTheBatterysFloorIsNotAtFault() {
    Tripping site = new Tripping("ferry-landing");
    site.connected().drain();
    site.seconds(31);
    site.trip();
    site.inverterTrip = InverterTrip.DC_LOW;
    site.seconds(1);
    assertFalse(site.out.inverter == InverterOrder.OFF, "nobody waits for a restart");
  }
}
