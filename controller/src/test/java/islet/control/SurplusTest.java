package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.ChargeStage;
import islet.contract.ChargerTelemetry;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.site.Site;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Where the sun's surplus goes, and how sun, utility and an unheard charger share the battery's 80
 * A. Judged by the demo bank's set points (57.6 V absorption, 54.0 V float, 61.2 V limit), by hand
 * arithmetic on its currents, and by the rule that the battery comes first and the feed takes only
 * what it must not.
 */
class SurplusTest {

  private static final long SECOND = 1_000_000;
  private static final Site DEMO = Sites.demo();

  private final Inputs in = new Inputs();
  private final Outputs out = new Outputs();
  private ChargeCoordinator coordinator = new ChargeCoordinator(DEMO);
  private long now = FakeSite.START;
  private double sunA;
  private double drawA;
  private double batteryA;
  private double ceilingW = 4000;
  private boolean fromUtility;
  private boolean mayFeed = true;
  private long regulatorAge;
  private long inverterAge;
  private long chargerAge;

  private void scan(double volts) {
    now += SECOND / 10;
    in.take(
        new RegulatorTelemetry(0, now, volts, 25, 0, 0, sunA, 0, 0, ChargeStage.BULK, true, false),
        now - regulatorAge);
    in.take(
        new InverterTelemetry(
            0,
            now,
            volts,
            -drawA,
            0,
            1,
            60,
            InverterState.FOLLOWING,
            InverterTrip.NONE,
            false,
            false),
        now - inverterAge);
    in.take(
        new ChargerTelemetry(0, now, volts, 25, 0, 0, 0, 0, ChargeStage.BULK, true, false),
        now - chargerAge);
    in.take(new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, volts, batteryA, 25, "", false), now);
    out.begin();
    coordinator.decide(in, Beliefs.of(volts, in), fromUtility, 60, mayFeed, ceilingW, out, now);
  }

  private void scans(int count, double volts) {
    for (int i = 0; i < count; i++) {
      scan(volts);
    }
  }

  /** In bulk a slow search: 0.2 % of 4 kW a scan up, twice as much down. */
  @Test
  void inBulkOnlyWhatTheBatteryMustNotTakeIsFed() {
    batteryA = 80;
    sunA = 80;
    scans(10, 52);
    assertEquals(ChargeStage.BULK, out.stage);
    assertEquals(80, out.feedLimitW, 1e-9);
    assertEquals(48, out.feedVoltageV, "from any voltage of the battery");
    assertEquals(58.0, out.regulatorVoltageV, 1e-9, "above the feed's set point");
    batteryA = 74.3; // below 93 % of the limit the battery can take more itself
    scans(2, 52);
    assertEquals(48, out.feedLimitW, 1e-9);
    batteryA = 74.5;
    sunA = 77.5; // below 97 % of its limit the sun has no more to give
    scans(5, 52);
    assertEquals(48, out.feedLimitW, 1e-9);
    sunA = 77.7;
    scan(52);
    assertEquals(56, out.feedLimitW, 1e-9);
    batteryA = 10;
    scans(10, 52);
    assertEquals(0, out.feedLimitW, 1e-9);
    assertEquals(58.0, out.feedVoltageV, 1e-9);
  }

  @Test
  void theSearchStaysBelowWhatMayBeFed() {
    batteryA = 80;
    sunA = 80;
    ceilingW = 100;
    scans(50, 52);
    assertEquals(100, out.feedLimitW, 1e-9);
    ceilingW = 60;
    scan(52);
    assertEquals(60, out.feedLimitW, 1e-9);
  }

  @Test
  void fromAbsorptionOnAllThatLiftsTheBusIsFed() {
    batteryA = 30;
    sunA = 40;
    scans(110, 57.6);
    assertEquals(ChargeStage.ABSORPTION, out.stage);
    assertEquals(57.6, out.feedVoltageV, 1e-9);
    assertEquals(4000, out.feedLimitW);
    assertEquals(58.0, out.regulatorVoltageV, 1e-9);
    mayFeed = false;
    scan(57.6);
    assertEquals(0, out.feedLimitW);
    assertEquals(58.0, out.feedVoltageV, 1e-9);
    assertEquals(57.6, out.regulatorVoltageV, 1e-9);
    mayFeed = true;
    ceilingW = 0;
    scan(57.6);
    assertEquals(57.6, out.regulatorVoltageV, 1e-9, "nothing may be fed: no gap is needed");
  }

  @Test
  void nothingIsFedWhileTheUtilityCharges() {
    fromUtility = true;
    batteryA = 60;
    scans(110, 57.6);
    assertTrue(out.chargeLimitA > 0);
    assertEquals(0, out.feedLimitW);
  }

  /** The stage changes 0.15 V below the set point, and holds for ten seconds first. */
  @ParameterizedTest
  @CsvSource({"57.46, 101, ABSORPTION", "57.46, 99, BULK", "57.44, 200, BULK"})
  void absorptionBeginsWhenItsVoltageIsReachedForTenSeconds(
      double volts, int scans, ChargeStage stage) {
    batteryA = 60;
    scans(scans, volts);
    assertEquals(stage, out.stage);
  }

  @Test
  void aVoltageAboveTheLimitStopsAllUntilItIsDownAtFloat() {
    scans(2, 61.2);
    assertEquals(ChargeStage.BULK, out.stage);
    scan(61.21);
    assertEquals(ChargeStage.OFF, out.stage);
    assertEquals(0, out.regulatorLimitA);
    assertFalse(out.regulatorEnabled);
    assertEquals(54.0, out.chargeVoltageV, 1e-9);
    scan(54.0);
    assertEquals(ChargeStage.OFF, out.stage);
    scan(53.99);
    assertEquals(ChargeStage.BULK, out.stage);
    assertTrue(out.regulatorEnabled);
  }

  /** The sun's report counts for three seconds; then it may be taking the whole limit. */
  @Test
  void aSunThatIsNotHeardLeavesTheUtilityNothing() {
    fromUtility = true;
    regulatorAge = 3 * SECOND;
    scan(52);
    assertEquals(60, out.chargeLimitA);
    regulatorAge++;
    scan(52);
    assertEquals(0, out.chargeLimitA);
  }

  /** What the inverter draws passes the battery by, as long as the draw is heard. */
  @Test
  void theDrawIsAddedToWhatTheSunMayGive() {
    drawA = 7;
    scan(52);
    assertEquals(87, out.regulatorLimitA, 1e-9);
    drawA = 30;
    scan(52);
    assertEquals(90, out.regulatorLimitA, 1e-9, "its own rating");
    drawA = 7;
    inverterAge = 3 * SECOND + 1;
    scan(52);
    assertEquals(80, out.regulatorLimitA, 1e-9);
    inverterAge = 0;
    drawA = -7; // charging
    scan(52);
    assertEquals(80, out.regulatorLimitA, 1e-9);
  }

  @Test
  void aChargerOfItsOwnComesAfterTheSunAndCountsInFullWhenItIsNotHeard() {
    coordinator = new ChargeCoordinator(Sites.named("ferry-landing-changeover"));
    fromUtility = true;
    mayFeed = false;
    scan(52);
    assertTrue(out.chargerEnabled);
    assertEquals(60, out.chargerLimitA);
    assertEquals(57.6, out.chargerVoltageV, 1e-9);
    assertEquals(0, out.chargeLimitA);
    assertEquals(20, out.regulatorLimitA, 1e-9);
    sunA = 0.5;
    scan(52);
    assertEquals(57.4, out.chargerVoltageV, 1e-9, "the sun first");
    // 80 A less 0.5 A of sun less a tenth kept free for it, but 60 A at most.
    assertEquals(60, out.chargerLimitA);
    sunA = 30;
    drawA = 10; // the charger may give the draw as well
    scan(52);
    assertEquals(80 + 10 - 30 - 8, out.chargerLimitA, 1e-9);
    fromUtility = false;
    drawA = 0;
    scan(52);
    assertFalse(out.chargerEnabled);
    assertEquals(80, out.regulatorLimitA, 1e-9);
    chargerAge = 3 * SECOND;
    scan(52);
    assertEquals(80, out.regulatorLimitA, 1e-9);
    chargerAge++;
    scan(52);
    assertEquals(20, out.regulatorLimitA, 1e-9);
  }

  @Test
  void uncoordinatedChargersGetNoSetPoints() {
    scan(52);
    assertTrue(out.setPointsOrdered);
    coordinator = new ChargeCoordinator(Sites.demo("supervision.coordination", "none"));
    scan(52);
    assertFalse(out.setPointsOrdered);
  }
}
