package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Authority;
import islet.contract.Forced;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.OperatorOrder;
import islet.site.Site;
import java.util.LinkedHashMap;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * What must outlive a restart, because no device can tell it: padlocks, a person's wishes, what was
 * learnt the hard way, what somebody has acknowledged or forced, and the count of the charge.
 * Judged by what the supervisor that starts anew does and tells.
 */
class KeepsakeTest {

  private static final long HOUR = 3600 * FakeSite.SECOND;

  /** A note that is written once and then read; what it does not hold comes back as it was. */
  private static final class Note implements Keepsake {
    private final Map<String, Object> written = new LinkedHashMap<>();
    private boolean reading;

    private Object pass(String name, Object value) {
      if (reading) {
        return written.getOrDefault(name, value);
      }
      written.put(name, value);
      return value;
    }

    @Override
    public long instant(String name, long value) {
      return (long) pass(name, value);
    }

    @Override
    public long count(String name, long value) {
      return (long) pass(name, value);
    }

    @Override
    public double estimate(String name, double value) {
      return (double) pass(name, value);
    }

    @Override
    public boolean flag(String name, boolean value) {
      return (boolean) pass(name, value);
    }

    @Override
    public <E extends Enum<E>> E word(String name, E value) {
      return value.getDeclaringClass().cast(pass(name, value));
    }

    @Override
    public String text(String name, String value) {
      return (String) pass(name, value);
    }
  }

  private final Site site = Sites.demo();
  private final FakeSite before = new FakeSite(site);

  private void order(OperatorOrder order, String key, double forS) {
    before.ask(order, key, forS);
    before.scan();
    assertEquals("", before.out.refusal);
  }

  /** Another supervisor over the same field, after a while. */
  private FakeSite restarted(long later) {
    Note note = new Note();
    before.supervisor.keep(note);
    note.reading = true;
    FakeSite after = new FakeSite(site);
    after.supervisor.keep(note);
    after.now = before.now + later;
    after.utilityPu = before.utilityPu;
    after.tieClosed = before.tieClosed;
    after.tieOrderedClosed = before.tieOrderedClosed;
    after.inverter = before.inverter;
    after.inverterObeys = before.inverterObeys;
    after.batteryV = before.batteryV;
    return after;
  }

  @Test
  void everyPadlockHangsAndIsToldToTheTieAgainOneInEachScan() {
    before.connected();
    for (String key : new String[] {"dockmaster", "line crew", "diver"}) {
      order(OperatorOrder.HOLD, key, 0);
    }
    order(OperatorOrder.RELEASE, "line crew", 0);
    FakeSite after = restarted(0);
    after.scan();
    assertEquals(Phase.CONNECTED, after.phase());
    assertEquals("", after.out.holdKey, "not before the field has reported");
    after.scan();
    assertEquals("diver", after.out.holdKey);
    assertTrue(after.out.holdPlaced);
    after.scan();
    assertEquals("dockmaster", after.out.holdKey);
    after.scan();
    assertEquals("", after.out.holdKey);
  }

  @Test
  void aPadlockThatIsTakenOffMeanwhileIsNotToldAgain() {
    before.connected();
    order(OperatorOrder.HOLD, "dockmaster", 0);
    order(OperatorOrder.HOLD, "diver", 0);
    FakeSite after = restarted(0);
    after.scan();
    after.ask(OperatorOrder.RELEASE, "diver");
    after.scan();
    assertEquals("diver", after.out.holdKey);
    assertFalse(after.out.holdPlaced);
    after.scan();
    assertEquals("dockmaster", after.out.holdKey);
    assertTrue(after.out.holdPlaced);
    after.scan();
    assertEquals("", after.out.holdKey);
  }

  @Test
  void aPadlockStillBlocksTheReturn() {
    before.islanded();
    order(OperatorOrder.HOLD, "dockmaster", 0);
    before.utilityPu = 1;
    FakeSite after = restarted(0);
    after.seconds(400);
    assertEquals(Phase.CARRY, after.phase());
    after.ask(OperatorOrder.RELEASE, "dockmaster");
    after.until(Phase.SYNCHRONISE, 1);
  }

  @Test
  void aWishToStayAwayStands() {
    before.connected();
    order(OperatorOrder.ISLAND, "", 0);
    before.until(Phase.CARRY, 20);
    FakeSite after = restarted(0);
    after.seconds(400);
    assertEquals(Phase.CARRY, after.phase());
  }

  @Test
  void theHandOnTheControlsStaysThere() {
    before.connected();
    order(OperatorOrder.MANUAL, "", 0);
    FakeSite after = restarted(0);
    after.scan();
    assertEquals(Authority.MANUAL, after.out.authority);
  }

  @Test
  void anOverrideLastsItsTimeAndNoLonger() {
    before.connected();
    order(OperatorOrder.OVERRIDE, Forced.SHED_ALL.name(), 600);
    FakeSite after = restarted(300 * FakeSite.SECOND);
    after.seconds(299);
    assertEquals("SHED_ALL", after.out.overrides);
    after.seconds(2);
    assertEquals("", after.out.overrides);
    assertEquals("", restartedLate().out.overrides);
  }

  private FakeSite restartedLate() {
    FakeSite late = restarted(HOUR);
    late.scan();
    return late;
  }

  @Test
  void whatIsShelvedStaysSoForItsTime() {
    before.connected();
    order(OperatorOrder.SHELVE, AlarmId.BAD_MESSAGE.name(), 600);
    FakeSite after = restarted(300 * FakeSite.SECOND);
    after.in.badMessage(true);
    after.seconds(299);
    assertEquals(0, after.out.alarms());
    after.until(() -> after.out.alarms() > 0, "off the shelf", 2);
    assertEquals(AlarmState.UNACKNOWLEDGED, after.out.alarmState(after.out.alarms() - 1));
  }

  @Test
  void whatIsAcknowledgedIsNotRungAgain() {
    before.connected();
    before.in.badMessage(true);
    before.scan();
    order(OperatorOrder.ACKNOWLEDGE, AlarmId.BAD_MESSAGE.name(), 0);
    FakeSite after = restarted(0);
    after.in.badMessage(true);
    after.scan();
    assertEquals(0, after.out.alarms());
  }

  @Test
  void anEmptyBatteryIsStillEmptyAndAFailureStillCounted() {
    before.islanded();
    before.inverterObeys = false;
    before.inverter = InverterState.FAULT;
    before.inverterTrip = InverterTrip.OVERLOAD;
    before.until(Phase.UNSUPPLIED, 1);
    before.seconds(40); // it does not start: the fault stands
    FakeSite after = restarted(0);
    after.scan();
    assertEquals(2, after.out.shedCount, "half of four circuits after one overload");
    FakeSite empty = new FakeSite(site);
    empty.islanded().drain();
    empty.until(Phase.UNSUPPLIED, 40);
    Note note = new Note();
    empty.supervisor.keep(note);
    note.reading = true;
    FakeSite anew = new FakeSite(site);
    anew.supervisor.keep(note);
    anew.batteryV = 47; // above its disconnect, below its reconnection
    anew.scan();
    assertFalse(anew.out.islandPermit);
  }

  @Test
  void afterThreeFailuresARestartDoesNotTryAgain() {
    before.islanded();
    before.inverterObeys = false;
    before.inverter = InverterState.OFF;
    before.seconds(300);
    assertEquals(Phase.UNSUPPLIED, before.phase());
    FakeSite after = restarted(0);
    after.inverterObeys = true;
    after.seconds(60);
    assertEquals(Phase.UNSUPPLIED, after.phase());
  }

  /**
   * 49.6 V at rest are 72.31 % by the table; a full bank holds 1.0375 times its 400 Ah, of which an
   * hour at 40 A takes 9.64 %. The voltage meanwhile would say otherwise.
   */
  @Test
  void theCountOfTheChargeGoesOn() {
    before.connected().currentA = -40;
    before.seconds(3600);
    double soc = before.out.soc;
    assertEquals(0.7231 - 40 / 415.0, soc, 0.0005);
    FakeSite after = restarted(FakeSite.SECOND);
    after.scan();
    assertEquals(soc, after.out.soc, 1e-3);
    FakeSite late = restarted(24 * HOUR);
    late.scan();
    assertEquals(0.723, late.out.soc, 0.001, "after a day the voltage is asked");
  }

  @Test
  void anEqualisingChargeThatWasAskedForIsNotForgotten() {
    before.connected();
    order(OperatorOrder.EQUALISE, "", 0);
    Note note = new Note();
    before.supervisor.keep(note);
    assertEquals(true, note.written.get("equalising asked"));
    note.reading = true;
    SiteSupervisor after = new SiteSupervisor(site);
    after.keep(note);
    Note again = new Note();
    after.keep(again);
    assertEquals(note.written, again.written, "what is kept is kept over the next restart too");
  }

  /** A later version may keep more: what the note does not hold stays as it begins. */
  @Test
  void anEmptyNoteChangesNothing() {
    Note note = new Note();
    note.reading = true;
    FakeSite after = new FakeSite(site);
    after.supervisor.keep(note);
    after.connected();
    assertEquals(Authority.AUTO, after.out.authority);
    assertTrue(after.out.islandPermit);
    assertEquals(0.723, after.out.soc, 0.001);
  }

  /** A warning until tomorrow is one whoever is restarted, and ends when it would have. */
  @Test
  void aWarningStandsOnUntilItsTimeIsOver() {
    before.connected();
    order(OperatorOrder.WARN, "storm", 3600);
    FakeSite after = restarted(HOUR / 2);
    after.seconds(2);
    assertTrue(after.out.warned);
    assertEquals(1.0, after.out.reserveSoc);
    FakeSite later = restarted(HOUR);
    later.seconds(2);
    assertFalse(later.out.warned);
    assertEquals(0.5, later.out.reserveSoc);
  }

  /** Six outages of ten minutes shake the trust; a restart does not mend the line. */
  @Test
  void outagesThatWereSeenAreRemembered() {
    before.connected();
    double trusted = before.out.confidence;
    for (int i = 0; i < 6; i++) {
      before.utilityPu = 0;
      before.seconds(600);
      before.utilityPu = 1;
      before.until(Phase.CONNECTED, 600);
    }
    before.seconds(61);
    double shaken = before.out.confidence;
    assertTrue(shaken < trusted - 0.001, shaken + " after " + trusted);
    FakeSite after = restarted(0);
    after.seconds(62);
    assertEquals(shaken, after.out.confidence, 1e-5);
  }
}
