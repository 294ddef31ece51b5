package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.MeterTelemetry;
import islet.contract.OperatorOrder;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What follows a full charge, judged by the demo bank's description: equalised at 60.0 V with at
 * most 20 A for two hours and no warmer than 40 °C, when asked or when due; a lithium bank whose
 * site says so is left alone after an hour afloat.
 */
class FullBatteryTest {

  private static final long SECOND = 1_000_000;
  private static final String EVERY = "battery.charge.equalise.every";

  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private ChargeCoordinator coordinator = new ChargeCoordinator(Sites.demo());
  private long now = FakeSite.START;
  private double celsius = 25;
  private double sunA;
  private boolean fromUtility = true;

  private void seconds(double seconds, double volts, double batteryA) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      now += SECOND / 10;
      in.take(
          new RegulatorTelemetry(
              0, now, volts, celsius, 0, 0, sunA, 0, 0, ChargeStage.BULK, true, false),
          now);
      in.take(
          new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, batteryA, celsius, "", false), now);
      in.take(in.inverter(), now);
      out.begin();
      coordinator.decide(in, Beliefs.of(volts, in), fromUtility, 60, !fromUtility, 4000, out, now);
    }
  }

  private void at(Site site) {
    coordinator = new ChargeCoordinator(site);
  }

  /** Through bulk and absorption, to where the current has tailed off. */
  private void fill(double absorptionV) {
    seconds(1, 50, 60);
    assertEquals(ChargeStage.BULK, out.stage);
    seconds(11, absorptionV, 60);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    for (int i = 0; i < 1300 && out.stage == ChargeStage.ABSORPTION; i++) {
      seconds(0.1, absorptionV, 5);
    }
  }

  @Test
  void withoutARequestAFullBankGoesAfloat() {
    fill(57.6);
    assertEquals(ChargeStage.FLOAT, out.stage);
  }

  @Test
  void whenAskedItIsEqualisedAfterTheNextFullChargeForItsTime() {
    assertEquals("", coordinator.askEqualise());
    fill(57.6);
    assertEquals(ChargeStage.EQUALISE, out.stage);
    assertEquals("EQUALISE", out.to(0));
    assertTrue(out.reason(0).contains("entilate"), out.reason(0));
    assertEquals(60, out.regulatorVoltageV);
    assertTrue(out.chargeLimitA <= 20, "" + out.chargeLimitA);
    assertTrue(out.regulatorLimitA + out.chargeLimitA <= 20 + 1e-9);
    seconds(3600, 58, 20); // not yet at the voltage: does not count
    seconds(7199, 60, 10);
    assertEquals(ChargeStage.EQUALISE, out.stage);
    seconds(1.2, 60, 10);
    assertEquals(ChargeStage.FLOAT, out.stage);
    // Once asked is once done.
    seconds(62, 50, -20);
    fill(57.6);
    assertEquals(ChargeStage.FLOAT, out.stage);
  }

  @Test
  void aChargeThatEndsByTheClockIsNotFullAndIsNotFollowedByOne() {
    coordinator.askEqualise();
    seconds(1, 50, 60);
    seconds(11, 57.6, 60);
    for (int i = 0; i < 12_000 && out.stage == ChargeStage.ABSORPTION; i++) {
      seconds(1, 57.6, 20);
    }
    assertEquals(ChargeStage.FLOAT, out.stage);
  }

  @ParameterizedTest
  @CsvSource({"40, EQUALISE", "40.1, FLOAT"})
  void aWarmBankIsNotEqualised(double warm, ChargeStage stage) {
    coordinator.askEqualise();
    celsius = warm;
    fill(57.6);
    assertEquals(stage, out.stage);
  }

  @Test
  void itEndsWhenTheBankGetsTooWarmAndIsTriedAgain() {
    coordinator.askEqualise();
    fill(57.6);
    seconds(60, 60, 10);
    celsius = 41;
    seconds(0.1, 60, 10);
    assertEquals(ChargeStage.FLOAT, out.stage);
    assertTrue(out.reason(0).startsWith("given up"), out.reason(0));
    celsius = 25;
    seconds(62, 50, -20);
    fill(57.6);
    assertEquals(ChargeStage.EQUALISE, out.stage);
  }

  @Test
  void itIsGivenUpWhenTheVoltageIsNotReachedInThreeTimesItsTime() {
    coordinator.askEqualise();
    fill(57.6);
    seconds(3 * 7200 - 2, 59, 20);
    assertEquals(ChargeStage.EQUALISE, out.stage);
    seconds(3, 59, 20);
    assertEquals(ChargeStage.FLOAT, out.stage);
  }

  @Test
  void itEndsWhenTheBankIsDischarged() {
    coordinator.askEqualise();
    fill(57.6);
    seconds(59, 50.3, -40);
    assertEquals(ChargeStage.EQUALISE, out.stage);
    seconds(1.2, 50.3, -40);
    assertEquals(ChargeStage.BULK, out.stage);
  }

  @Test
  void byItsIntervalItIsDueCountedFromTheFirstFullCharge() {
    at(Sites.demo(EVERY, "720 h"));
    fill(57.6);
    assertEquals(ChargeStage.FLOAT, out.stage);
    now += 719 * 3600 * SECOND;
    seconds(62, 50, -20);
    fill(57.6);
    assertEquals(ChargeStage.FLOAT, out.stage);
    now += 3600 * SECOND;
    seconds(62, 50, -20);
    fill(57.6);
    assertEquals(ChargeStage.EQUALISE, out.stage);
  }

  @Test
  void theLithiumBankIsNeverEqualised() {
    at(Sites.named("ferry-landing-lfp"));
    assertEquals("this site has no equalising charge", coordinator.askEqualise());
    FakeSite site = new FakeSite(Sites.named("ferry-landing-lfp")).connected();
    site.ask(OperatorOrder.EQUALISE, "");
    site.scan();
    assertEquals("this site has no equalising charge", site.out.refusal);
  }

  @Test
  void aFullLithiumBankIsLeftAloneAfterAnHourAfloatUntilItIsLow() {
    Site site =
        Sites.named("ferry-landing-lfp", "battery.charge.rest", "{ after: 1 h, voltage: 53.4 V }");
    Site.Charge charge = site.battery().charge();
    at(site);
    fill(charge.absorptionV());
    assertEquals(ChargeStage.FLOAT, out.stage);
    assertTrue(out.chargeLimitA > 0);
    fromUtility = false;
    seconds(10, charge.floatV(), 1);
    assertTrue(out.feedLimitW > 0, "afloat the surplus is fed");
    seconds(3588, charge.floatV(), 1);
    assertEquals(ChargeStage.FLOAT, out.stage);
    seconds(3, charge.floatV(), 1);
    assertEquals(ChargeStage.REST, out.stage);
    // The sun may serve loads at the resting voltage; the utility gives nothing.
    assertEquals(53.4, out.regulatorVoltageV);
    assertTrue(out.regulatorEnabled);
    assertEquals(0, out.chargeLimitA);
    assertEquals(0, out.feedLimitW);
    seconds(59, charge.rebulkV() - 0.1, -5);
    assertEquals(ChargeStage.REST, out.stage);
    seconds(1.2, charge.rebulkV() - 0.1, -5);
    assertEquals(ChargeStage.BULK, out.stage);
    assertFalse(coordinator.full());
  }
}
