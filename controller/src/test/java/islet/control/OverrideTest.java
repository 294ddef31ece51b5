package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.Authority;
import islet.contract.Forced;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What a person forces, and what a person begins: judged by what the devices are ordered, by the
 * site's settings, and by the rule that an override is seen, ends by itself and passes no
 * interlock.
 */
class OverrideTest {

  /** A window that is open now lets the schedule charge; without one only a person does. */
  private static FakeSite site(boolean window) {
    FakeSite site =
        new FakeSite(
            Sites.demo(
                "supervision.chargeWindows.1.between", window ? "12:00-18:00" : "02:00-03:00"));
    site.batteryV = 50;
    return site.connected();
  }

  private static void force(FakeSite site, Forced forced, double forS) {
    site.ask(OperatorOrder.OVERRIDE, forced.name(), forS);
    site.scan();
    assertEquals("", site.out.refusal);
  }

  @Test
  void chargesFromTheUtilityWhenForcedAndNoLonger() {
    FakeSite site = site(false);
    site.seconds(1);
    assertEquals(0, site.out.chargeLimitA);
    force(site, Forced.CHARGE_NOW, 60);
    site.seconds(59);
    assertTrue(site.out.chargeLimitA > 10, "" + site.out.chargeLimitA);
    assertEquals("CHARGE_NOW", site.out.overrides);
    site.seconds(1.2);
    assertEquals(0, site.out.chargeLimitA);
    assertEquals("", site.out.overrides);
  }

  @Test
  void doesNotChargeInItsWindowWhenThatIsForced() {
    FakeSite site = site(true);
    site.seconds(1);
    assertTrue(site.out.chargeLimitA > 10);
    force(site, Forced.CHARGE_OFF, 60);
    assertEquals(0, site.out.chargeLimitA);
  }

  @Test
  void feedsNothingWhenThatIsForced() {
    FakeSite site = site(false);
    site.batteryV = 57.6;
    site.sunA = 30;
    site.seconds(30);
    assertTrue(site.out.feedLimitW > 100, "" + site.out.feedLimitW);
    force(site, Forced.FEED_OFF, 60);
    assertEquals(0, site.out.feedLimitW);
  }

  @Test
  void doesNotFeedThePanelBeforeOpeningEither() {
    FakeSite site = site(false);
    site.criticalW = 900;
    force(site, Forced.FEED_OFF, 60);
    site.ask(OperatorOrder.ISLAND, "");
    site.until(Phase.UNLOAD_TIE, 1);
    assertEquals(0, site.out.feedLimitW);
  }

  @Test
  void theArrayIsOffWhenThatIsForced() {
    FakeSite site = site(false);
    assertTrue(site.out.regulatorEnabled);
    force(site, Forced.REGULATOR_OFF, 60);
    assertFalse(site.out.regulatorEnabled);
  }

  @Test
  void everyCircuitIsOffWhenThatIsForced() {
    FakeSite site = site(false);
    assertEquals(0, site.out.shedCount);
    force(site, Forced.SHED_ALL, 60);
    assertEquals(site.site.supervision().shedding().size(), site.out.shedCount);
  }

  @Test
  void itIsSeenAsLongAsItStands() {
    FakeSite site = site(false);
    site.ask(OperatorOrder.OVERRIDE, "FEED_OFF", 30);
    site.scan();
    assertEquals("override", site.out.kind(0));
    assertEquals("FEED_OFF", site.out.to(0));
    assertEquals(AlarmId.OVERRIDE_ACTIVE, site.out.alarmId(0));
    force(site, Forced.SHED_ALL, 60);
    assertEquals("FEED_OFF,SHED_ALL", site.out.overrides);
    site.seconds(31);
    assertEquals("SHED_ALL", site.out.overrides);
    site.until(() -> site.out.events() > 0, "the end is told", 31);
    assertEquals("SHED_ALL", site.out.from(0));
    assertEquals("its time is over", site.out.reason(0));
    assertEquals(AlarmState.RETURNED, site.out.alarmState(0));
  }

  @Test
  void aPersonEndsOneOrAll() {
    FakeSite site = site(false);
    force(site, Forced.FEED_OFF, 60);
    force(site, Forced.SHED_ALL, 60);
    force(site, Forced.REGULATOR_OFF, 60);
    site.ask(OperatorOrder.END_OVERRIDE, "SHED_ALL");
    site.scan();
    assertEquals("FEED_OFF,REGULATOR_OFF", site.out.overrides);
    site.ask(OperatorOrder.END_OVERRIDE, "");
    site.scan();
    assertEquals("", site.out.overrides);
    assertEquals("", site.out.refusal);
  }

  @ParameterizedTest
  @CsvSource({
    "OVERRIDE, FEED_OFF, 0, an override lasts more than 0 s and at most 24 h",
    "OVERRIDE, FEED_OFF, 86401, an override lasts more than 0 s and at most 24 h",
    "OVERRIDE, ALL_ON, 60, there is no such override",
    "OVERRIDE, CHARGE_NOW, 60, the opposite is forced; end that first",
    "END_OVERRIDE, FEED_OFF, 0, no such override stands",
    "SHELVE, BATTERY_LOW, 60, an alarm of high priority cannot be shelved",
    "UNSHELVE, COMMAND_REFUSED, 0, no such alarm is shelved",
  })
  void whatCannotBeIsRefusedWithAReason(
      OperatorOrder order, String key, double forS, String reason) {
    FakeSite site = site(false);
    force(site, Forced.CHARGE_OFF, 600);
    site.ask(order, key, forS);
    site.scan();
    assertEquals(reason, site.out.refusal);
    assertEquals("CHARGE_OFF", site.out.overrides);
    site.scan();
    assertEquals("", site.out.refusal);
  }

  @Test
  void chargingByForceStaysWithinTheBatterysLimits() {
    FakeSite site = site(false);
    force(site, Forced.CHARGE_NOW, 600);
    site.temperatureC = -30;
    site.seconds(2);
    assertEquals(0, site.out.chargeLimitA);
    site.temperatureC = 25;
    site.batteryV = 62;
    site.seconds(2);
    assertEquals(0, site.out.chargeLimitA);
  }

  private static FakeSite manual(FakeSite site) {
    site.ask(OperatorOrder.MANUAL, "");
    site.scan();
    assertEquals(Authority.MANUAL, site.out.authority);
    return site;
  }

  @Test
  void underManualAuthorityItLeavesALostUtilityByItself() {
    FakeSite site = manual(site(false));
    site.utilityPu = 0;
    site.until(Phase.CARRY, 5);
  }

  @Test
  void underManualAuthorityItReturnsOnlyWhenAsked() {
    FakeSite site = manual(new FakeSite(Sites.demo()).islanded());
    site.utilityPu = 1;
    site.seconds(400);
    assertEquals(Phase.CARRY, site.phase());
    site.ask(OperatorOrder.RECONNECT, "");
    site.until(Phase.CONNECTED, 10);
    // Once asked is once gone back.
    site.utilityPu = 0;
    site.until(Phase.CARRY, 5);
    site.utilityPu = 1;
    site.seconds(400);
    assertEquals(Phase.CARRY, site.phase());
    site.ask(OperatorOrder.AUTO, "");
    site.until(Phase.CONNECTED, 10);
  }

  @Test
  void underManualAuthorityItStartsADarkPanelOnlyWhenAsked() {
    FakeSite site = manual(new FakeSite(Sites.demo()).dark());
    site.inverter = islet.contract.InverterState.OFF;
    site.inverterObeys = true;
    site.seconds(60);
    assertEquals(Mode.DARK, site.out.mode);
    site.ask(OperatorOrder.RECONNECT, "");
    site.until(Phase.CARRY, 5);
  }

  @Test
  void underManualAuthorityADeadPanelIsPutOnTheUtilityOnlyWhenAsked() {
    FakeSite site = manual(new FakeSite(Sites.demo()).dark());
    site.utilityPu = 1;
    site.seconds(400);
    assertEquals(Mode.DARK, site.out.mode);
    site.ask(OperatorOrder.RECONNECT, "");
    site.until(Phase.CLOSE_ON_DEAD_PANEL, 1);
  }

  @Test
  void underManualAuthorityTheUtilityChargesOnlyWhenForced() {
    FakeSite site = manual(site(true));
    site.seconds(1);
    assertEquals(0, site.out.chargeLimitA);
    force(site, Forced.CHARGE_NOW, 60);
    assertTrue(site.out.chargeLimitA > 10);
  }

  @Test
  void itsChangeIsTold() {
    FakeSite site = site(false);
    site.ask(OperatorOrder.MANUAL, "");
    site.scan();
    assertEquals("authority", site.out.kind(0));
    assertEquals("MANUAL", site.out.to(0));
    site.ask(OperatorOrder.MANUAL, "");
    site.scan();
    assertEquals(0, site.out.events());
  }

  @Test
  void eachIsForcedRenewedAndEndedByItself() {
    for (Forced forced : Forced.values()) {
      FakeSite site = site(false);
      force(site, forced, 86_400);
      assertEquals(forced.name(), site.out.overrides);
      assertEquals(1, site.out.events());
      force(site, forced, 2);
      assertEquals(0, site.out.events(), "it stands already");
      site.seconds(1.9);
      assertEquals(forced.name(), site.out.overrides);
      site.scan();
      assertEquals("", site.out.overrides);
      force(site, forced, 60);
      site.ask(OperatorOrder.END_OVERRIDE, forced.name());
      site.scan();
      assertEquals("", site.out.refusal);
      assertEquals("", site.out.overrides);
      assertEquals("ended by a person", site.out.reason(0));
    }
  }

  @Test
  void chargingIsNotForbiddenWhileItIsForced() {
    FakeSite site = site(false);
    force(site, Forced.CHARGE_NOW, 60);
    site.ask(OperatorOrder.OVERRIDE, Forced.CHARGE_OFF.name(), 60);
    site.scan();
    assertEquals("the opposite is forced; end that first", site.out.refusal);
    assertEquals("CHARGE_NOW", site.out.overrides);
  }
}
