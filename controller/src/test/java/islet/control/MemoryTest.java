package islet.control;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.InverterState;
import islet.contract.OperatorOrder;
import islet.site.Site;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A new supervisor that is given another's memory goes on as the other does: nothing that counts is
 * left out of {@link SiteSupervisor#remember}. Judged by the other's own orders, scan by scan, in a
 * site on which everything goes wrong at random.
 */
class MemoryTest {

  private static final int SCANS = Boolean.getBoolean("islet.long") ? 20_000 : 1_500;

  @ParameterizedTest
  @ValueSource(
      strings = {
        "ferry-landing",
        "ferry-landing-changeover",
        "boat-shed",
        "ferry-landing-charger-only",
        "ferry-landing with a plan"
      })
  void aNewSupervisorWithTheSameMemoryGivesTheSameOrders(String name) {
    Twins twins = new Twins(name, true);
    for (int i = 0; i < SCANS; i++) {
      twins.spoil();
      twins.scan();
    }
    assertTrue(twins.seen.size() >= (SCANS < 20_000 ? 3 : 5), "seen only " + twins.seen);
  }

  /** So that an exploration need not give the alarms back before each scan. */
  @Test
  void noOrderHangsOnAnAlarm() {
    Twins twins = new Twins("ferry-landing", false);
    for (int i = 0; i < SCANS; i++) {
      twins.spoil();
      twins.scan();
    }
    assertTrue(twins.rang > SCANS / 500, "alarms rang in " + twins.rang + " scans");
  }

  /** Before each scan a new twin is given the memory; after it both must be alike. */
  private static final class Twins extends FakeSite {
    private static final double[] UTILITY_PU = {0, 0.3, 0.8, 0.9, 1, 1, 1};
    private static final double[] SHARES = {0, 0.9, 0.92, 1, 1.03, 1.13, 1.2, 1.3};

    private final Random random = new Random(62682);
    private final EnumSet<Phase> seen = EnumSet.noneOf(Phase.class);
    private final Outputs others = new Outputs();
    private final boolean withAlarms;
    private int rang;

    Twins(String name, boolean withAlarms) {
      super(Sites.hasty(site(name), 3));
      this.withAlarms = withAlarms;
    }

    private static Site site(String name) {
      return name.endsWith(" with a plan")
          ? Sites.demo(
              "supervision.dispatch",
              "{ plan: optimal, trade: export, waitConfidence: 80 %,"
                  + " exportWindows: [{ between: \"10:00-20:00\" }] }")
          : Sites.named(name);
    }

    void spoil() {
      switch (random.nextInt(200)) {
        case 0, 1, 2 -> utilityPu = UTILITY_PU[random.nextInt(UTILITY_PU.length)];
        case 3 -> tieObeys = !tieObeys;
        case 4 -> inverterObeys = !inverterObeys;
        case 5 -> tieClosed = !tieClosed;
        case 6 -> inverter = InverterState.values()[random.nextInt(6)];
        case 7, 8 -> batteryV = SHARES[random.nextInt(SHARES.length)] * site.battery().nominalV();
        case 9 -> currentA = random.nextInt(400) - 200;
        case 10 -> sunA = random.nextInt(90);
        case 11 -> tieSilent = !tieSilent;
        case 12 -> inverterSilent = !inverterSilent;
        case 13 -> meterSilent = !meterSilent;
        case 14, 15 ->
            ask(
                OperatorOrder.values()[random.nextInt(OperatorOrder.values().length)],
                "key " + random.nextInt(2),
                30 * random.nextInt(2));
        case 16, 17, 18 -> {
          tieSilent = inverterSilent = meterSilent = false;
          tieObeys = inverterObeys = true;
          ask(OperatorOrder.RESET, "");
        }
        default -> {}
      }
    }

    @Override
    void scan() {
      SiteSupervisor twin = new SiteSupervisor(site);
      Remembered memory = new Remembered(supervisor);
      if (withAlarms) {
        memory.give(twin);
      } else {
        memory.giveWithoutAlarms(twin);
      }
      others.inverter = out.inverter;
      now += SCAN;
      report();
      supervisor.scan(in, now, out);
      twin.scan(in, now, others);
      Remembered ours = new Remembered(supervisor);
      Remembered theirs = new Remembered(twin);
      int size = withAlarms ? ours.size() : ours.withoutAlarms(supervisor);
      assertArrayEquals(
          Arrays.copyOf(ours.values, size),
          Arrays.copyOf(theirs.values, size),
          () -> "of " + memory);
      assertEquals(orders(out), orders(others));
      if (withAlarms) {
        assertEquals(out.events() + " " + out.alarms(), others.events() + " " + others.alarms());
      }
      rang += out.alarms() > 0 ? 1 : 0;
      seen.add(phase());
      obey();
      in.scanned();
    }

    private static String orders(Outputs o) {
      return o.tieOrdered
          + o.holdKey
          + o.inverterOrdered
          + o.inverter
          + o.islandPermit
          + o.chargingOrdered
          + o.setPointsOrdered
          + o.regulatorEnabled
          + o.chargerEnabled
          + " "
          + (o.tieOrdered ? o.tie : "")
          + o.chargeVoltageV
          + " "
          + o.chargeLimitA
          + " "
          + o.feedVoltageV
          + " "
          + o.feedLimitW
          + " "
          + o.chargerVoltageV
          + " "
          + o.chargerLimitA
          + " "
          + o.regulatorVoltageV
          + " "
          + o.regulatorLimitA
          + " "
          + o.shedCount
          + o.mode
          + o.stage
          + o.grid
          + o.tieClosed
          + o.batteryVoltageV
          + " "
          + o.soc
          + " "
          + o.reserveSoc
          + " "
          + o.qualifiedInS;
    }
  }
}
