package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Judged by the demo bank's description: 57.6 V absorption and 54.0 V float at 25 °C, −4 mV/K a
 * cell in 24 cells, 80 A and 61.2 V at most, −10 to 50 °C, tail of 8 A, three hours, a new bulk
 * below 50.4 V; and by the rule that the sum of the set points never passes the battery's limit.
 */
class ChargeCoordinatorTest {

  private static final Site SITE = Sites.demo();
  private static final long SECOND = 1_000_000;

  private final ChargeCoordinator coordinator = new ChargeCoordinator(SITE);
  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private long now = FakeSite.START;
  private boolean fromUtility = true;

  private void telemetry(double celsius, double batteryA, double sunA, double dcCurrentA) {
    in.take(
        new RegulatorTelemetry(
            0, now, 50, celsius, 0, 0, sunA, 0, 0, ChargeStage.BULK, true, false),
        now);
    in.take(
        new InverterTelemetry(
            0,
            now,
            50,
            dcCurrentA,
            0,
            1,
            60,
            InverterState.FOLLOWING,
            InverterTrip.NONE,
            false,
            false),
        now);
    in.take(new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, 50, batteryA, celsius, "", false), now);
  }

  private void seconds(double seconds, double volts, double celsius, double batteryA) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      now += SECOND / 10;
      telemetry(celsius, batteryA, 0, 0);
      coordinator.decide(in, Beliefs.of(volts, in), fromUtility, 60, false, 0, out, now);
    }
  }

  private void absorbing() {
    seconds(1, 50, 25, 60);
    seconds(11, 57.6, 25, 60);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
  }

  @Test
  void theSumOfTheSetPointsNeverPassesTheBatterysLimit() {
    Random random = new Random(80);
    double limit = SITE.battery().limits().maximumChargeA();
    for (int i = 0; i < 200_000; i++) {
      now += random.nextInt(20) * SECOND;
      double celsius = -30 + random.nextInt(100);
      double drawA = random.nextInt(3) == 0 ? 0 : 100 * random.nextDouble();
      double dcA = random.nextBoolean() ? -drawA : 60 * random.nextDouble();
      telemetry(celsius, 200 * random.nextDouble() - 100, 90 * random.nextDouble(), dcA);
      coordinator.decide(
          in,
          Beliefs.of(42 + 20 * random.nextDouble(), in),
          random.nextBoolean(),
          120 * random.nextDouble(),
          random.nextBoolean(),
          4000 * random.nextDouble(),
          out,
          now);
      double sun = out.regulatorEnabled ? out.regulatorLimitA : 0;
      double allowed = (celsius < -10 || celsius > 50 ? 0 : limit) + Math.max(0, -dcA);
      assertTrue(sun + out.chargeLimitA <= allowed + 1e-9);
      assertTrue(sun >= 0 && out.chargeLimitA >= 0);
      assertTrue(out.chargeLimitA == 0 || out.feedLimitW == 0, "charges and feeds at once");
      assertTrue(out.regulatorVoltageV <= 61.2 && out.chargeVoltageV <= 61.2);
    }
  }

  @Test
  void bulkEndsWhenTheAbsorptionVoltageHasBeenReachedForTenSeconds() {
    seconds(60, 56, 25, 60);
    assertEquals(ChargeStage.BULK, out.stage);
    assertEquals(57.6, out.chargeVoltageV);
    seconds(9.9, 57.6, 25, 60);
    seconds(1, 56, 25, 60);
    seconds(9.9, 57.6, 25, 60);
    assertEquals(ChargeStage.BULK, out.stage);
    seconds(0.2, 57.6, 25, 60);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
  }

  @Test
  void absorptionEndsFullWhenTheCurrentHasTailedOffForTwoMinutes() {
    absorbing();
    seconds(60, 57.6, 25, 7.9);
    seconds(1, 57.6, 25, 8.1);
    seconds(119.9, 57.6, 25, 7.9);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    assertFalse(coordinator.full());
    seconds(0.2, 57.6, 25, 7.9);
    assertEquals(ChargeStage.FLOAT, out.stage);
    assertTrue(coordinator.full());
    seconds(0.1, 57.6, 25, 7.9);
    assertFalse(coordinator.full()); // told once
    assertEquals(54, out.chargeVoltageV);
  }

  @Test
  void absorptionEndsByTheClockAfterThreeHoursAtTheVoltageAndThatIsNotCalledFull() {
    absorbing();
    seconds(3 * 3600 - 60, 57.6, 25, 20);
    seconds(1800, 56, 25, 40); // below the voltage the clock stands still
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    seconds(30, 57.6, 25, 20);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    for (int i = 0; i < 600 && out.stage == ChargeStage.ABSORPTION; i++) {
      seconds(0.1, 57.6, 25, 20);
      assertFalse(coordinator.full());
    }
    assertEquals(ChargeStage.FLOAT, out.stage);
  }

  @Test
  void aNewChargeBeginsWhenTheVoltageHasBeenLowForAMinute() {
    absorbing();
    seconds(125, 57.6, 25, 5);
    assertEquals(ChargeStage.FLOAT, out.stage);
    seconds(59.9, 50.3, 25, -20);
    seconds(0.1, 50.5, 25, -20);
    seconds(59.9, 50.3, 25, -20);
    assertEquals(ChargeStage.FLOAT, out.stage);
    seconds(0.3, 50.3, 25, -20);
    assertEquals(ChargeStage.BULK, out.stage);
  }

  @ParameterizedTest
  @CsvSource({"25, 57.6", "35, 56.64", "15, 58.56", "0, 60.0", "50, 55.2"})
  void theAbsorptionSetPointFollowsTheBatterysTemperature(double celsius, double volts) {
    seconds(1, 50, celsius, 60);
    assertEquals(volts, out.chargeVoltageV, 1e-9);
    assertEquals(volts, out.regulatorVoltageV, 1e-9);
  }

  @Test
  void inTheColdTheSetPointStaysBelowTheBatterysLimit() {
    seconds(1, 50, -10, 60); // 57.6 + 35 x 0.096 = 60.96 V by the rule
    assertTrue(out.chargeVoltageV <= 61.2);
    assertTrue(out.regulatorVoltageV <= 61.2);
    assertTrue(out.chargeVoltageV > 60, "but not far below it");
  }

  @ParameterizedTest
  @ValueSource(doubles = {-10.1, -30, 50.1, 70})
  void outsideItsTemperaturesTheBatteryIsNotChargedAtAll(double celsius) {
    seconds(5, 50, celsius, 0);
    assertTrue(coordinator.outsideTemperature());
    assertEquals(ChargeStage.OFF, out.stage);
    assertEquals(0, out.chargeLimitA);
    assertFalse(out.regulatorEnabled);
    assertEquals(0, out.regulatorLimitA);
  }

  @ParameterizedTest
  @ValueSource(doubles = {-10, 50})
  void atTheLimitsItIs(double celsius) {
    seconds(5, 50, celsius, 0);
    assertEquals(ChargeStage.BULK, out.stage);
    assertTrue(out.chargeLimitA > 0);
  }

  @Test
  void inTheColdTheSunStillServesTheLoads() {
    now += SECOND;
    telemetry(-20, -25, 0, -25);
    coordinator.decide(in, Beliefs.of(50, in), true, 60, false, 0, out, now);
    assertTrue(out.regulatorEnabled);
    assertEquals(25, out.regulatorLimitA, 1e-9);
    assertEquals(0, out.chargeLimitA);
  }

  @Test
  void theSunComesFirstAndTheUtilityFillsUp() {
    now += SECOND;
    telemetry(25, 30, 30, 0);
    coordinator.decide(in, Beliefs.of(50, in), true, 60, false, 0, out, now);
    assertEquals(80 - 30 - 8, out.chargeLimitA, 1e-9); // a tenth of the limit is kept free
    assertEquals(80 - out.chargeLimitA, out.regulatorLimitA, 1e-9);
    telemetry(25, 80, 75, 0);
    coordinator.decide(in, Beliefs.of(50, in), true, 60, false, 0, out, now + SECOND);
    assertEquals(0, out.chargeLimitA, 1e-9);
  }

  @Test
  void withoutLeaveTheUtilityChargesNothing() {
    fromUtility = false;
    seconds(5, 50, 25, 0);
    assertEquals(0, out.chargeLimitA);
    assertEquals(80, out.regulatorLimitA, 1e-9);
  }
}
