package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.AlarmId;
import islet.contract.Forced;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.OperatorOrder;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.site.GridProfile.EnterService;
import islet.site.Site;
import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The interlocks hold whatever the field says. Many scans, six million in the long form, of a site
 * on which everything goes wrong at random, judged after each scan from the telemetry alone, by
 * rules written anew here: IEEE Std 1547-2018, Tables 4 and 5 (from memory), the battery's limits
 * of the site file, and the padlocks that hang.
 */
class InterlockTest {

  /** A report older than this proves nothing: three periods of 1 Hz. */
  private static final long PROOF = 3_000_000;

  private static final boolean WHOLE = Boolean.getBoolean("islet.long");
  private static final int SCANS = WHOLE ? 2_000_000 : 500_000;

  /** A walk proves nothing about what it hardly ever met. */
  private static final int LEAST = SCANS / 2_000;

  private static final double DELAY_S = 3;

  /** The demo site's battery cable, both ways. */
  private static final double CABLE_OHM = 0.003;

  @ParameterizedTest
  @ValueSource(longs = {1547, 2018, 62682})
  void whateverTheFieldSays(long seed) {
    Walk walk = new Walk(Sites.hasty(Sites.demo(), DELAY_S), seed);
    for (int i = 0; i < SCANS; i++) {
      walk.spoil();
      walk.scan();
    }
    assertEquals(EnumSet.allOf(Phase.class), walk.seen);
    assertTrue(walk.formOrders > LEAST, "FORM or SYNCHRONISE ordered " + walk.formOrders);
    assertTrue(walk.closeOrders > LEAST / 10, "CLOSE ordered " + walk.closeOrders);
    assertTrue(walk.feeds > LEAST, "feeding allowed " + walk.feeds);
    assertTrue(walk.charges > LEAST, "charging allowed " + walk.charges);
    assertTrue(walk.drained > LEAST, "the battery was empty " + walk.drained);
    assertTrue(walk.held > LEAST, "a padlock hung " + walk.held);
  }

  /** The field as it stands in the telemetry, and everything that can go wrong in it. */
  private static final class Walk extends FakeSite {
    private static final double[] UTILITY_PU = {0, 0, 0.3, 0.6, 0.9, 1, 1, 1, 1, 1.2};
    private static final double[] UTILITY_HZ = {60, 60, 60, 60, 59, 60.3, 61.5};
    private static final double[] BATTERY_V = {0, 20, 43, 44, 44.4, 48, 49.6, 52, 54, 57.6, 62, 90};
    private static final double[] CELSIUS = {-30, -10.1, -10, 0, 25, 25, 25, 50, 50.1, 70};

    private static final double[] AIMS = {0.15, 0.4, 0.44, 0.6, 0.8};

    private final Random random;
    private final EnterService enter;
    private final Set<String> padlocks = new LinkedHashSet<>();
    private final EnumSet<Phase> seen = EnumSet.noneOf(Phase.class);
    private double aimSoc = 0.5;
    private long notInBandAt = START;
    private long notLowAt = START;
    private int formOrders;
    private int closeOrders;
    private int feeds;
    private int charges;
    private double coldestC = 25;
    private double warmestC = 25;
    private int drained;
    private int held;

    Walk(Site site, long seed) {
      super(site);
      enter = site.profile().enter();
      random = new Random(seed);
    }

    void spoil() {
      switch (random.nextInt(500)) {
        case 0, 1, 2 -> utilityPu = any(UTILITY_PU);
        case 3 -> utilityHz = any(UTILITY_HZ);
        case 4 -> tieObeys = !tieObeys;
        case 5 -> inverterObeys = !inverterObeys;
        case 6 -> tieClosed = !tieClosed;
        case 7 -> tieOrderedClosed = !tieOrderedClosed;
        case 8 -> inverter = InverterState.values()[random.nextInt(6)];
        case 9 -> angleDeg = random.nextDouble() * 360 - 180;
        case 10 -> islandHz = 59.5 + random.nextDouble();
        case 11, 12 -> batteryV = any(BATTERY_V);
        case 13 -> currentA = 400 * (aimSoc - out.soc) + random.nextDouble() * 60 - 30;
        case 14 -> temperatureC = any(CELSIUS);
        case 15 -> sunA = random.nextDouble() * 90;
        case 16 -> drawA = random.nextDouble() * 120 - 40;
        case 17 -> tieSilent = !tieSilent;
        case 18 -> inverterSilent = !inverterSilent;
        case 19 -> meterSilent = !meterSilent;
        case 20 -> regulatorSilent = !regulatorSilent;
        case 21, 22, 23, 24 -> order();
        case 25, 29, 30 -> heal();
        case 28 -> {
          // The usual way into the dark and out of it.
          heal();
          utilityPu = 1;
          tieClosed = false;
          tieOrderedClosed = false;
          inverterObeys = false;
          inverter = InverterState.FAULT;
        }
        case 32 -> {
          // A meter that lies about an empty battery: more sun than it may take, says the shunt.
          heal();
          utilityPu = 1;
          tieClosed = true;
          tieOrderedClosed = true;
          inverter = InverterState.FOLLOWING;
          batteryV = 44;
          currentA = 79;
          sunA = 90;
        }
        case 31 -> aimSoc = any(AIMS);
        case 26 -> tieSilent = inverterSilent = meterSilent = regulatorSilent = true;
        default -> {}
      }
    }

    private double any(double[] values) {
      return values[random.nextInt(values.length)];
    }

    private void order() {
      // More padlocks come off than go on, so that the tie may close at times.
      switch (random.nextInt(16)) {
        case 0 -> ask(OperatorOrder.HOLD, random.nextInt(4) == 0 ? "" : key());
        case 1 -> ask(OperatorOrder.ISLAND, "");
        case 2, 3, 5 -> ask(OperatorOrder.RECONNECT, "");
        case 4 -> ask(OperatorOrder.ACKNOWLEDGE, "");
        case 12 ->
            ask(
                OperatorOrder.OVERRIDE,
                Forced.values()[random.nextInt(Forced.values().length)].name(),
                random.nextInt(60));
        case 13 -> ask(OperatorOrder.END_OVERRIDE, "");
        case 14 -> ask(random.nextInt(5) == 0 ? OperatorOrder.MANUAL : OperatorOrder.AUTO, "");
        case 15 -> ask(OperatorOrder.SHELVE, AlarmId.COMMAND_REFUSED.name(), 30);
        default -> ask(OperatorOrder.RELEASE, key());
      }
    }

    private String key() {
      return "key" + random.nextInt(3);
    }

    private void heal() {
      utilityPu = random.nextInt(3) == 0 ? 0 : 1;
      utilityHz = 60;
      tieObeys = true;
      inverterObeys = true;
      batteryV = 49.6 + 8 * random.nextDouble();
      temperatureC = 25;
      tieSilent = false;
      inverterSilent = false;
      meterSilent = false;
      regulatorSilent = false;
      tieOrderedClosed = tieClosed;
      if (phase() == Phase.WAIT_FOR_PERSON) {
        ask(OperatorOrder.RESET, "");
      }
    }

    @Override
    void obey() {
      judge();
      super.obey();
    }

    private boolean fresh(long arrived) {
      return now - arrived <= PROOF;
    }

    private void judge() {
      seen.add(phase());
      watchPadlocks();
      watchUtility();
      watchBattery();
      watchTemperature();
      formsOnlyBehindAnOpenTie();
      closesOnlyWhenItMay();
      chargesWithinLimits();
    }

    private void watchPadlocks() {
      if (in.operatorAsks()) {
        String key = in.operator().key();
        switch (in.operator().order()) {
          case HOLD -> {
            if (!key.isEmpty() && padlocks.size() < 8) {
              padlocks.add(key);
            }
          }
          case RELEASE -> padlocks.remove(key);
          case ISLAND,
              RECONNECT,
              ACKNOWLEDGE,
              RESET,
              SHELVE,
              UNSHELVE,
              OVERRIDE,
              END_OVERRIDE,
              AUTO,
              MANUAL,
              EQUALISE,
              WARN,
              ALL_CLEAR -> {}
        }
      }
      held += padlocks.isEmpty() ? 0 : 1;
    }

    private void watchUtility() {
      boolean tie = fresh(in.tieAt());
      double pu = tie ? in.tie().utilityVoltagePu() : in.meter().utilityVoltagePu();
      double hz = tie ? in.tie().utilityFrequencyHz() : in.meter().utilityFrequencyHz();
      boolean inBand =
          (tie || fresh(in.meterAt()))
              && pu >= enter.minimumPu()
              && pu <= enter.maximumPu()
              && hz >= enter.minimumHz()
              && hz <= enter.maximumHz();
      if (!inBand) {
        notInBandAt = now;
      }
    }

    /** Low at the battery's terminals, whichever of the currents told is taken for the cable. */
    private boolean low(double volts, long arrived) {
      double sum = in.regulator().outputCurrentA() + in.inverter().dcCurrentA();
      double drop = CABLE_OHM * Math.max(Math.abs(in.meter().batteryCurrentA()), Math.abs(sum));
      return !fresh(arrived) || (volts > 24 && volts <= 44.4 - drop);
    }

    /** The temperatures told by those heard, or, when none is, told last. */
    private void watchTemperature() {
      boolean meter = fresh(in.meterAt());
      boolean regulator = fresh(in.regulatorAt());
      double byMeter = in.meter().batteryTemperatureC();
      double byRegulator = in.regulator().batteryTemperatureC();
      if (meter || regulator) {
        coldestC = Math.min(meter ? byMeter : byRegulator, regulator ? byRegulator : byMeter);
        warmestC = Math.max(meter ? byMeter : byRegulator, regulator ? byRegulator : byMeter);
      }
    }

    private boolean anyVoltage() {
      return valid(in.regulator().busVoltageV(), in.regulatorAt())
          || valid(in.inverter().busVoltageV(), in.inverterAt())
          || valid(in.meter().batteryVoltageV(), in.meterAt());
    }

    private boolean valid(double volts, long arrived) {
      return fresh(arrived) && volts > 24 && volts < 76.8;
    }

    private void watchBattery() {
      boolean allLow =
          anyVoltage()
              && low(in.regulator().busVoltageV(), in.regulatorAt())
              && low(in.inverter().busVoltageV(), in.inverterAt())
              && low(in.meter().batteryVoltageV(), in.meterAt());
      if (!allLow) {
        notLowAt = now;
      }
      if (now - notLowAt > 30 * SECOND) {
        drained++;
        assertEquals(0, out.feedLimitW, "feeds from an empty battery");
        assertTrue(!ordersForming(), "forms on an empty battery");
      }
    }

    private boolean ordersForming() {
      return out.inverterOrdered
          && (out.inverter == InverterOrder.FORM || out.inverter == InverterOrder.SYNCHRONISE);
    }

    private void formsOnlyBehindAnOpenTie() {
      if (ordersForming()) {
        formOrders++;
        assertTrue(!(fresh(in.tieAt()) && in.tie().closed()), "forms behind a closed tie");
        // A tie that is silent proves nothing: then only an island that stands already is kept up.
        assertTrue(
            fresh(in.tieAt()) || (fresh(in.inverterAt()) && forms(in.inverter().state())),
            "forms behind a tie that is not heard");
      }
    }

    private static boolean forms(InverterState state) {
      return state == InverterState.FORMING || state == InverterState.SYNCHRONISING;
    }

    private void closesOnlyWhenItMay() {
      if (!out.tieOrdered || out.tie != TieOrder.CLOSE) {
        return;
      }
      closeOrders++;
      TieTelemetry t = in.tie();
      assertTrue(padlocks.isEmpty(), "closes under the padlocks " + padlocks);
      assertTrue(fresh(in.tieAt()), "closes a tie that is not heard");
      assertTrue(now - notInBandAt >= DELAY_S * SECOND, "closes before the utility has qualified");
      boolean deadPanel = t.islandVoltagePu() < 0.1;
      boolean inStep =
          Math.abs(t.utilityVoltagePu() - t.islandVoltagePu()) <= 0.1
              && Math.abs(t.utilityFrequencyHz() - t.islandFrequencyHz()) <= 0.3
              && Math.abs(t.angleDeg()) <= 20;
      assertTrue(deadPanel || inStep, "closes out of step");
    }

    private void chargesWithinLimits() {
      double maximumV = site.battery().limits().maximumV();
      assertTrue(out.regulatorVoltageV <= maximumV, "regulator above the battery's voltage");
      assertTrue(out.chargeVoltageV <= maximumV, "charger above the battery's voltage");
      boolean follows = out.inverterOrdered && out.inverter == InverterOrder.FOLLOW;
      double utilityA = follows ? out.chargeLimitA : 0;
      double sun = out.regulatorEnabled ? out.regulatorLimitA : 0;
      assertTrue(utilityA >= 0 && sun >= 0, "a negative current limit");
      double draw = fresh(in.inverterAt()) ? Math.max(0, -in.inverter().dcCurrentA()) : 0;
      boolean outside = coldestC < -10 || warmestC > 50;
      double limit = outside ? 0 : site.battery().limits().maximumChargeA();
      assertTrue(
          utilityA + sun <= limit + draw + 1e-9,
          () -> utilityA + " A and " + sun + " A for " + limit + " A and a draw of " + draw);
      if (!anyVoltage()) {
        assertTrue(!out.regulatorEnabled && utilityA == 0, "charges without a voltage");
      }
      charges += utilityA > 0 ? 1 : 0;
      feeds += follows && out.feedLimitW > 0 ? 1 : 0;
    }
  }
}
