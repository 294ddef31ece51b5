package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.BatteryPath;
import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Charge coordination and estimate with lithium iron phosphate cells, judged by the rules of the
 * trade: no temperature moves their set points, and nobody charges them in frost.
 */
class LithiumChargingTest {
  private static final Site SITE = Sites.named("ferry-landing-lfp");
  private static final long SECOND = 1_000_000;

  private final ChargeCoordinator coordinator = new ChargeCoordinator(SITE);
  private final BatteryEstimate estimate = new BatteryEstimate(SITE);
  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private long now = FakeSite.START;
  private BatteryPath path = BatteryPath.CLOSED;
  private boolean mayFeed;
  private double busV = 53;

  private void seconds(double seconds, double volts, double celsius, double batteryA) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      now += SECOND / 10;
      in.take(
          new RegulatorTelemetry(
              0, now, busV, celsius, 0, 0, 0, 0, 0, ChargeStage.BULK, true, false),
          now);
      in.take(
          new InverterTelemetry(
              0, now, busV, -20, 0, 1, 60, InverterState.FORMING, InverterTrip.NONE, false, false),
          now);
      in.take(
          new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, batteryA, celsius, "", false, path),
          now);
      estimate.measure(in, now, out);
      coordinator.decide(in, Beliefs.of(volts, in), true, 60, mayFeed, 4000, out, now);
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {1, 10, 25, 44})
  void noTemperatureMovesTheSetPoint(double celsius) {
    seconds(1, 53, celsius, 60);
    assertEquals(ChargeStage.BULK, out.stage);
    assertEquals(56.0, out.chargeVoltageV);
    assertEquals(56.0, out.regulatorVoltageV);
  }

  @Test
  void bulkAbsorptionAndTailCurrentEndInFloat() {
    seconds(60, 55.5, 20, 60);
    assertEquals(ChargeStage.BULK, out.stage);
    seconds(11, 56, 20, 60);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    seconds(121, 56, 20, 15);
    assertEquals(ChargeStage.FLOAT, out.stage);
    assertEquals(54.0, out.chargeVoltageV);
  }

  @Test
  void belowZeroDegreesNeitherChargerIsLetNearTheCells() {
    seconds(1, 53, -0.1, -20);
    assertEquals(ChargeStage.OFF, out.stage);
    assertEquals(0, out.chargeLimitA);
    // The regulator gives no more than the inverter draws.
    assertEquals(20, out.regulatorLimitA);
    assertTrue(coordinator.outsideTemperature());
  }

  @Test
  void behindAPathThatLetsNothingInTheSunMayServeTheLoads() {
    path = BatteryPath.DISCHARGE_ONLY;
    mayFeed = true;
    seconds(1, 53, -5, -20);
    assertTrue(out.regulatorEnabled);
    assertEquals(SITE.regulator().ratedA(), out.regulatorLimitA);
    assertEquals(4000, out.feedLimitW);
    assertEquals(0, out.chargeLimitA);
  }

  /**
   * The meter's contact says that nothing goes in and its shunt says otherwise: the contact lies.
   */
  @Test
  void aPathThatIsFoundToLeakIsNotBelieved() {
    path = BatteryPath.DISCHARGE_ONLY;
    mayFeed = true;
    seconds(1, 53, -5, 5);
    assertEquals(20, out.regulatorLimitA);
    assertEquals(0, out.feedLimitW);
  }

  @Test
  void aBusWithoutItsBatteryIsHeldAtFloat() {
    path = BatteryPath.OPEN;
    seconds(1, 53, 20, 0);
    assertTrue(coordinator.apart());
    assertEquals(ChargeStage.REST, out.stage);
    assertTrue(out.regulatorEnabled);
    assertEquals(54.0, out.regulatorVoltageV);
    assertEquals(SITE.regulator().ratedA(), out.regulatorLimitA);
    path = BatteryPath.CLOSED;
    seconds(0.1, 53, 20, 0);
    assertEquals(ChargeStage.BULK, out.stage);
  }

  @Test
  void aBusThatFloatsApartIsNoDisagreementAboutTheBattery() {
    busV = 64;
    path = BatteryPath.OPEN;
    seconds(10, 53, 20, 0);
    assertFalse(estimate.doubtful());
    assertEquals(53, estimate.voltageV());
    path = BatteryPath.CLOSED;
    seconds(10, 53, 20, 0);
    assertTrue(estimate.doubtful());
  }

  /** Judged by the milli of the SI: 53,000 mV are the 53 V that the meter at the battery shows. */
  @Test
  void aMeterThatReportsMillivoltsIsLeftOutAndNotPassedOverInSilence() {
    seconds(1, 53, 20, 0);
    assertFalse(estimate.doubtful());
    busV = 53_000;
    seconds(1, 53, 20, 0);
    assertEquals(
        "battery voltage by the regulator UNIT_SLIP, battery voltage by the inverter UNIT_SLIP",
        estimate.doubts());
    assertEquals(53, estimate.voltageV());
    seconds(5, 53, 20, 0);
    assertTrue(estimate.doubtful());
    busV = 53;
    seconds(10.1, 53, 20, 0);
    assertFalse(estimate.doubtful());
  }

  /** The trade's table of resting voltages, from memory: 3.00, 3.20, 3.32 and 3.35 V. */
  @ParameterizedTest
  @ValueSource(ints = {10, 20, 80, 90})
  void aRestingBankIsReadByTheTable(int percent) {
    double cellV =
        switch (percent) {
          case 10 -> 3.00;
          case 20 -> 3.20;
          case 80 -> 3.32;
          default -> 3.35;
        };
    busV = 16 * cellV;
    seconds(1, 16 * cellV, 20, 0);
    assertEquals(percent / 100.0, estimate.soc(), 1e-6);
    assertTrue(estimate.sureSoc() < estimate.soc() - 0.09);
  }
}
