package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Alarms by the life cycle of IEC 62682 (from memory): unacknowledged, acknowledged, returned,
 * normal. Padlocks by the rule of lock-out: whoever hung it takes it off. Shedding by the order and
 * the thresholds of the demo site's file: 35 % down to the floor of 20 % in four steps, 10 % back.
 */
class BoardsTest {

  private final AlarmBoard alarms = new AlarmBoard();
  private long now;
  private final HoldBoard holds = new HoldBoard();

  private interface Deed {
    void on(AlarmBoard board, Outputs out);
  }

  private List<AlarmState> told(Deed deed) {
    Outputs out = new Outputs();
    now += 40_000_000;
    alarms.begin(now, out);
    deed.on(alarms, out);
    List<AlarmState> states = new ArrayList<>();
    for (int i = 0; i < out.alarms(); i++) {
      states.add(out.alarmState(i));
    }
    return states;
  }

  private List<AlarmState> raise() {
    return told((b, o) -> b.raise(AlarmId.BATTERY_LOW, o));
  }

  private List<AlarmState> lower() {
    return told((b, o) -> b.lower(AlarmId.BATTERY_LOW, o));
  }

  private List<AlarmState> acknowledge(String name) {
    return told((b, o) -> b.acknowledge(name, o));
  }

  @Test
  void anAlarmIsSeenThenOver() {
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED), raise());
    assertEquals(List.of(AlarmState.ACKNOWLEDGED), acknowledge("BATTERY_LOW"));
    assertEquals(List.of(AlarmState.NORMAL), lower());
  }

  @Test
  void anAlarmThatGoesAwayUnseenStillWantsToBeSeen() {
    raise();
    assertEquals(List.of(AlarmState.RETURNED), lower());
    assertEquals(List.of(AlarmState.NORMAL), acknowledge(""));
    assertEquals(List.of(), acknowledge(""));
  }

  @Test
  void anAlarmThatComesBackUnseenIsOneAlarmAgain() {
    raise();
    lower();
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED), raise());
  }

  @Test
  void oneCauseRingsOnceHoweverOftenItIsSeen() {
    raise();
    for (int i = 0; i < 1000; i++) {
      assertEquals(List.of(), raise());
    }
    acknowledge("BATTERY_LOW");
    assertEquals(List.of(), raise());
  }

  @Test
  void somebodyElsesAlarmIsNotAcknowledgedWithIt() {
    raise();
    assertEquals(List.of(), acknowledge("TIE_DOUBTFUL"));
    assertEquals(List.of(), acknowledge("battery_low"));
  }

  @Test
  void aConditionRingsOnlyWhenItHasHeldForItsDelayWithoutABreak() {
    List<AlarmState> all = new ArrayList<>();
    for (int tick = 0; tick < 100; tick++) {
      long instant = tick;
      boolean holds = tick != 8 && tick < 40;
      List<AlarmState> states =
          told(
              (b, o) -> {
                b.begin(instant, o);
                b.follow(AlarmId.SENSORS_DISAGREE, holds, 10, o);
              });
      if (tick < 19) {
        assertEquals(List.of(), states);
      }
      all.addAll(states);
    }
    assertEquals(List.of(AlarmState.UNACKNOWLEDGED, AlarmState.RETURNED), all);
  }

  @Test
  void onlyItsOwnKeyTakesAPadlockOff() {
    assertFalse(holds.any());
    assertTrue(holds.place("dockmaster"));
    assertTrue(holds.place("line crew"));
    assertFalse(holds.release("somebody"));
    assertFalse(holds.release(""));
    assertTrue(holds.release("dockmaster"));
    assertTrue(holds.any());
    assertTrue(holds.release("line crew"));
    assertFalse(holds.any());
    assertFalse(holds.release("line crew"));
  }

  @Test
  void aPadlockHangsOnceAndTheHaspTakesEight() {
    assertFalse(holds.place(""));
    for (int i = 0; i < HoldBoard.MOST; i++) {
      assertTrue(holds.place("key" + i));
      assertFalse(holds.place("key" + i));
    }
    assertFalse(holds.place("one too many"));
    for (int i = 0; i < HoldBoard.MOST; i++) {
      assertTrue(holds.any());
      assertTrue(holds.release("key" + (i * 3 + 1) % HoldBoard.MOST));
    }
    assertFalse(holds.any());
  }

  @Test
  void circuitsGoInOrderAsTheEnergyFallsAndComeBackInTheOppositeOrder() {
    LoadShedding shedding = new LoadShedding(Sites.demo());
    assertEquals(0, shedding.decide(0.35, true, 0));
    assertEquals(1, shedding.decide(0.349, true, 0));
    assertEquals(1, shedding.decide(0.3126, true, 0));
    assertEquals(2, shedding.decide(0.312, true, 0));
    assertEquals(3, shedding.decide(0.274, true, 0));
    assertEquals(4, shedding.decide(0.237, true, 0));
    assertEquals(4, shedding.decide(0.0, true, 0));
    assertEquals(4, shedding.decide(0.337, true, 0)); // the fourth comes back above 23.75 % + 10 %
    assertEquals(3, shedding.decide(0.338, true, 0));
    assertEquals(3, shedding.decide(0.375, true, 0));
    assertEquals(2, shedding.decide(0.376, true, 0));
    assertEquals(1, shedding.decide(0.413, true, 0));
    assertEquals(1, shedding.decide(0.45, true, 0));
    assertEquals(0, shedding.decide(0.451, true, 0));
  }

  @Test
  void aNoisyEstimateDoesNotSwitchBackAndForth() {
    LoadShedding shedding = new LoadShedding(Sites.demo());
    int changes = 0;
    int before = 0;
    for (int i = 0; i < 1000; i++) {
      int off = shedding.decide(0.35 + (i % 2 == 0 ? -0.02 : 0.02), true, 0);
      changes += off == before ? 0 : 1;
      before = off;
    }
    assertEquals(1, changes);
  }

  @Test
  void onTheUtilityEverythingIsOn() {
    LoadShedding shedding = new LoadShedding(Sites.demo());
    assertEquals(4, shedding.decide(0.1, true, 0));
    assertEquals(0, shedding.decide(0.1, false, 0));
  }

  /** A motor that stands still takes the same overload again, whatever the battery holds. */
  @Test
  void anIslandThatEndedByOverloadStartsAgainWithFewerCircuits() {
    LoadShedding shedding = new LoadShedding(Sites.demo());
    assertEquals(4, Sites.demo().supervision().shedding().size());
    assertEquals(0, shedding.decide(0.9, true, 0));
    assertEquals(2, shedding.decide(0.9, true, 1));
    assertEquals(4, shedding.decide(0.9, true, 2));
    assertEquals(0, shedding.decide(0.9, false, 2));
  }

  /** Half and three quarters are exact, so that the edge itself can be asked. */
  @Test
  void atTheEdgeItselfNothingIsSwitched() {
    LoadShedding shedding =
        new LoadShedding(
            Sites.demo("supervision.shedBelow", "50 %", "supervision.restoreAbove", "75 %"));
    assertEquals(0, shedding.decide(0.5, true, 0));
    assertEquals(1, shedding.decide(0.499, true, 0));
    assertEquals(1, shedding.decide(0.75, true, 0));
    assertEquals(0, shedding.decide(0.751, true, 0));
  }
}
