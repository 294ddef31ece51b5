package islet.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** Judged by the bytes the thread allocates, and by a second run. */
class PlantRepeatTest {
  private static final long SECOND = 1_000_000L;
  private static final int RUNS = 4;
  private static final long MIDNIGHT = DemoPlants.SUMMER_NOON - 12 * 3600 * SECOND;

  private static Plant running() {
    return running(DemoPlants.spec(0.6));
  }

  private static Plant running(PlantSpec spec) {
    Plant plant = new Plant(spec, EpwWeather.read(DemoPlants.epw()), MIDNIGHT);
    plant.setUtility(true, 1, 60);
    plant.setTieClosed(true);
    plant.setRegulator(true, 57.6, 80);
    plant.setInverterFollowing(50, 30, 57.0, 5000);
    plant.solve();
    return plant;
  }

  /**
   * An island with a heat sink and with motors that start every minute or two, too many at once.
   */
  private static Plant islanded() {
    PlantSpec s = DemoPlants.spec(0.9);
    InrushSpec inrush = new InrushSpec(20, 0.4);
    PlantSpec spec =
        new PlantSpec(
            s.place(),
            s.pv(),
            s.regulator(),
            s.battery(),
            0.9,
            s.dcCableOhm(),
            DemoPlants.warm(new ThermalSpec(40, 1200, 30, 60)),
            s.utility(),
            List.of(
                new CircuitSpec(
                    "pump",
                    Panel.CRITICAL,
                    new RefrigeratorLoad(500, 0.5, 0.5, 0),
                    0,
                    0,
                    1,
                    0.8,
                    inrush),
                new CircuitSpec(
                    "blower",
                    Panel.CRITICAL,
                    new RefrigeratorLoad(500, 1, 1, 0),
                    0.3,
                    0,
                    0.7,
                    0.8,
                    inrush)));
    Plant plant = new Plant(spec, new ConstantWeather(0, 0, 0, 25, 1), MIDNIGHT);
    plant.setRegulator(true, 57.6, 80);
    plant.setInverterForming(60);
    plant.solve();
    return plant;
  }

  @Test
  void startsSagsAndAWarmHeatSinkAllocateNothing() {
    ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    long id = Thread.currentThread().getId();
    long[] least = new long[30 * 60];
    Arrays.fill(least, Long.MAX_VALUE);
    boolean[] atMinute = new boolean[least.length];
    double lowest = 1;
    for (int run = 0; run < RUNS; run++) {
      Plant plant = islanded();
      seconds(plant, 3_599);
      for (int i = 0; i < least.length; i++) {
        long minute = plant.nowMicros() / (60 * SECOND);
        long before = threads.getThreadAllocatedBytes(id);
        plant.advanceTo(plant.nowMicros() + SECOND / 3);
        least[i] = Math.min(least[i], threads.getThreadAllocatedBytes(id) - before);
        atMinute[i] = plant.nowMicros() / (60 * SECOND) != minute;
        lowest = Math.min(lowest, plant.criticalVoltagePu());
      }
    }
    assertTrue(lowest < 0.9, "nothing sagged, so nothing was tried");
    long atMinutes = 0;
    for (int i = 0; i < least.length; i++) {
      if (atMinute[i]) {
        atMinutes += least[i];
      } else {
        assertEquals(0, least[i], "step " + i);
      }
    }
    assertTrue(atMinutes < 10 * 100, atMinutes + " bytes");
  }

  private static void seconds(Plant plant, int count) {
    for (int i = 0; i < count; i++) {
      plant.advanceTo(plant.nowMicros() + SECOND);
    }
  }

  static List<Arguments> banks() {
    BatterySpec lithium = LfpSpec.prismatic(16, 400);
    return List.of(
        Arguments.of(LeadAcidSpec.flooded(24, 400), Contactor.CLOSED),
        Arguments.of(lithium, Contactor.CLOSED),
        Arguments.of(lithium, Contactor.DISCHARGE_ONLY));
  }

  /**
   * The same hour several times over. What a step allocates, it allocates in every run; what the
   * JVM does once, such as dropping compiled code, shows in one, so each step's least counts.
   */
  @ParameterizedTest
  @MethodSource("banks")
  void steppingAllocatesNothingButOneModuleCurveAMinute(BatterySpec bank, Contactor contactor) {
    ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    long id = Thread.currentThread().getId();
    // Up to the last minute of an hour; there the sun's ephemeris library is asked, and allocates.
    long[] least = new long[59 * 60];
    Arrays.fill(least, Long.MAX_VALUE);
    for (int run = 0; run < RUNS; run++) {
      Plant plant = running(DemoPlants.with(bank, 0.6));
      plant.setBatteryContactor(contactor);
      seconds(plant, 43_200 - 1);
      for (int i = 0; i < least.length; i++) {
        long before = threads.getThreadAllocatedBytes(id);
        plant.advanceTo(plant.nowMicros() + SECOND);
        least[i] = Math.min(least[i], threads.getThreadAllocatedBytes(id) - before);
      }
    }
    long atMinutes = 0;
    for (int i = 0; i < least.length; i++) {
      if (i % 60 == 0) {
        atMinutes += least[i];
      } else {
        assertEquals(0, least[i], "step " + i);
      }
    }
    assertTrue(atMinutes < 59 * 100, atMinutes + " bytes");
  }

  @Test
  void theSameRunGivesTheSameBits() {
    Plant one = running();
    Plant two = running();
    seconds(one, 50_000);
    seconds(two, 50_000);
    for (Flow flow : Flow.values()) {
      assertEquals(
          Double.doubleToLongBits(one.ledger().joules(flow)),
          Double.doubleToLongBits(two.ledger().joules(flow)));
    }
    assertEquals(
        Double.doubleToLongBits(one.batterySoc()), Double.doubleToLongBits(two.batterySoc()));
  }
}
