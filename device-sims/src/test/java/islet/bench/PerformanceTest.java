package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.bench.RunResult.Entry;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Ledgers small enough for pencil and paper. */
class PerformanceTest {

  /** 14 kWh in, 12 of use: the battery gained 1, 2 went as heat. */
  @Test
  void aDayWithExportAndAFullerBattery() {
    Performance day = new Performance(10, 4, 2, 9, 1, 4, 3);
    assertEquals(0.8, day.selfConsumption(), 1e-12);
    assertEquals(5.0 / 9, day.selfSufficiency(), 1e-12);
    assertEquals(4, day.referenceYieldH(), 1e-12);
    assertEquals(10.0 / 3 * 12 / 14, day.finalYieldH(), 1e-12);
    assertEquals(10.0 / 3 * 12 / 14 / 4, day.performanceRatio(), 1e-12);
  }

  /** 7 kWh in, of which the battery gave 2; 6 of use. */
  @Test
  void anIslandThatLivesOnItsBattery() {
    Performance night = new Performance(5, 0, 0, 6, -2, 2.5, 3);
    assertEquals(1, night.selfConsumption(), 1e-12);
    assertEquals(1, night.selfSufficiency(), 1e-12);
    assertEquals(5.0 / 3 * 6 / 7 / 2.5, night.performanceRatio(), 1e-12);
  }

  @Test
  void sharesStayBetweenNothingAndAll() {
    assertEquals(0, new Performance(1, 9, 5, 3, 0, 1, 3).selfConsumption(), 1e-12);
    assertEquals(0, new Performance(1, 9, 5, 3, 0, 1, 3).selfSufficiency(), 1e-12);
  }

  @Test
  void aRatioToNothingIsLeftOut() {
    assertEquals(
        List.of("self_sufficiency", "in_plane_kWh_per_m2", "reference_yield_h", "array_yield_h"),
        new Performance(0, 4, 0, 4, 0, 0, 3).entries().stream().map(Entry::name).toList());
  }
}
