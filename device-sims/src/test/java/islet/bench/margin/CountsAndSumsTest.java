package islet.bench.margin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** Counts and sums within a window, judged by counting and adding up by hand. */
class CountsAndSumsTest {

  @Test
  void twoEventsExactlyAWindowApartAreInNoCommonWindow() {
    MostEvents monitor = new MostEvents(1, 100);
    monitor.happened(0);
    monitor.happened(100);
    assertEquals(1, monitor.most());
    monitor.happened(199);
    assertEquals(2, monitor.most());
    assertEquals(-1, monitor.margin());
    assertEquals(199, monitor.violatedAt());
  }

  @Test
  void theFullestWindowIsFoundAmongMany() {
    Random random = new Random(11);
    long[] instants = new long[2_000];
    for (int i = 1; i < instants.length; i++) {
      instants[i] = instants[i - 1] + random.nextInt(60);
    }
    MostEvents monitor = new MostEvents(10, 500);
    int most = 0;
    for (int i = 0; i < instants.length; i++) {
      monitor.happened(instants[i]);
      int count = 0;
      for (int j = 0; j <= i; j++) {
        count += instants[j] > instants[i] - 500 ? 1 : 0;
      }
      assertEquals(count, monitor.within(instants[i]));
      most = Math.max(most, count);
    }
    assertEquals(most, monitor.most());
    assertEquals(0, monitor.within(instants[instants.length - 1] + 500));
  }

  @Test
  void aFloodIsCountedUpToTheMost() {
    MostEvents monitor = new MostEvents(10, 1_000_000);
    for (int i = 0; i < 10_000; i++) {
      monitor.happened(i);
    }
    assertEquals(MostEvents.MOST, monitor.most());
  }

  @Test
  void aRateAddsUpUntilTheBoundAndTheInstantOfPassingIsExact() {
    RollingSum monitor = new RollingSum(5, 24_000_000);
    monitor.update(500_000, 2);
    monitor.update(4_500_000, 0);
    monitor.finish(10_000_000);
    // 2 a second for 4 s are 8; 5 are reached after 2.5 s.
    assertEquals(8, monitor.most(), 1e-12);
    assertEquals(-3, monitor.margin(), 1e-12);
    assertEquals(3_000_000, monitor.violatedAt());
  }

  @Test
  void whatIsOlderThanTheWindowIsForgotten() {
    RollingSum monitor = new RollingSum(100, 24_000_000);
    monitor.update(0, 1);
    assertEquals(3, monitor.within(3_000_000), 1e-12);
    monitor.update(5_000_000, 0);
    assertEquals(5, monitor.within(10_000_000), 1e-12);
    assertEquals(4, monitor.within(24_500_000), 1e-12);
    assertEquals(0, monitor.within(90_000_000), 1e-12);
    monitor.update(26_000_000, 1);
    monitor.finish(30_000_000);
    assertEquals(4, monitor.within(30_000_000), 1e-12);
    // Until 30 s, 24 parts of a second reach back to 6 s: the first five seconds are gone.
    assertEquals(5, monitor.most(), 1e-12);
  }

  @Test
  void aRateThatIsNoAmountIsRefused() {
    RollingSum monitor = new RollingSum(1, 24);
    assertThrows(IllegalArgumentException.class, () -> monitor.update(0, Double.NaN));
    assertThrows(IllegalArgumentException.class, () -> monitor.update(0, -1));
  }
}
