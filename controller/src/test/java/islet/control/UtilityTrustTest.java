package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.GridState;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The history that trust is made of, counted by hand: a first guess of 8760 h with 1.5 outages of 3
 * h together, and what is seen fading by e in 90 days.
 */
class UtilityTrustTest {

  private static final long SECOND = 1_000_000;
  private static final double FADES_H = 90 * 24;

  private final UtilityTrust trust = new UtilityTrust();
  private long now = FakeSite.START;

  private void watch(GridState state, double seconds, double everyS) {
    for (long end = now + Math.round(seconds * SECOND); now < end; ) {
      now += Math.round(everyS * SECOND);
      trust.watch(state, now);
    }
  }

  private double kept(String name) {
    Given given = new Given();
    trust.keep(given);
    return (double) given.seen(name);
  }

  /** So many hours, each minute of which has faded since. */
  private static double faded(double hours) {
    double left = Math.exp(-1 / 60.0 / FADES_H);
    double sum = 0;
    for (int i = 0; i < Math.round(hours * 60); i++) {
      sum = sum * left + 1 / 60.0;
    }
    return sum;
  }

  @Test
  void hoursAreCountedByTheMinuteAndFade() {
    trust.watch(GridState.QUALIFIED, now);
    watch(GridState.QUALIFIED, 500 * 3600, 60);
    assertEquals(faded(500), kept("utility watched"), 1e-6);
    assertEquals(1.5 / (8757 + faded(500)), trust.beginning(), 1e-12);
    assertEquals(2, trust.meanHours(), 1e-12);
  }

  @Test
  void scansWithinAMinuteCountOnce() {
    trust.watch(GridState.QUALIFIED, now);
    watch(GridState.QUALIFIED, 3600, 10);
    assertEquals(faded(1), kept("utility watched"), 1e-6);
    watch(GridState.QUALIFIED, 59, 59);
    assertEquals(faded(1), kept("utility watched"), 1e-6);
    watch(GridState.QUALIFIED, 1, 1);
    assertEquals(faded(61 / 60.0), kept("utility watched"), 1e-6);
  }

  /** Two minutes between scans still count, more is a gap, and back in time is none. */
  @ParameterizedTest
  @CsvSource({"120, true", "121, false"})
  void aGapIsNotCounted(double gapS, boolean counts) {
    trust.watch(GridState.QUALIFIED, now);
    watch(GridState.QUALIFIED, gapS, gapS);
    assertEquals(counts ? 120 / 3600.0 : 0, kept("utility watched"), 1e-6);
    now -= 3600 * SECOND;
    trust.watch(GridState.QUALIFIED, now);
    assertEquals(counts ? 120 / 3600.0 : 0, kept("utility watched"), 1e-6);
    watch(GridState.QUALIFIED, 60, 60);
    assertEquals((counts ? 120 / 3600.0 : 0) + 1 / 60.0, kept("utility watched"), 1e-5);
  }

  /** Five minutes to the second make an outage. */
  @ParameterizedTest
  @CsvSource({"299.9, 0", "300, 1"})
  void aShorterInterruptionIsMomentary(double goneS, double outages) {
    trust.watch(GridState.GONE, now);
    now += Math.round(goneS * SECOND);
    trust.watch(GridState.OUT, now);
    assertEquals(outages, kept("utility outages"), 1e-9);
    assertEquals(outages * 300 / 3600, kept("utility out"), 1e-9);
    now += SECOND / 10;
    trust.watch(GridState.RETURNING, now);
    now += SECOND / 10;
    trust.watch(GridState.OUT, now);
    assertEquals(outages, kept("utility outages"), 1e-9, "another begins");
  }

  /** Two hours out: the first five minutes at once, the rest by the minute. */
  @Test
  void theHoursOfAnOutageAreCounted() {
    trust.watch(GridState.GONE, now);
    watch(GridState.GONE, 7200, 60);
    double left = Math.exp(-1 / 60.0 / FADES_H);
    double outages = 0;
    double out = 0;
    for (int minute = 1; minute <= 120; minute++) {
      if (minute == 5) {
        outages++;
        out += 5 / 60.0;
      }
      outages *= left;
      out = out * left + (minute >= 5 ? 1 / 60.0 : 0);
    }
    assertEquals(outages, kept("utility outages"), 1e-9);
    assertEquals(out, kept("utility out"), 1e-9);
    assertEquals((out + 3) / (outages + 1.5), trust.meanHours(), 1e-9);
    double there = 8760 + faded(2) - out - 3;
    assertEquals((outages + 1.5) / there, trust.beginning(), 1e-12);
  }

  @Test
  void whoSeesNothingLetsAnOutageRunOn() {
    trust.watch(GridState.UNKNOWN, now);
    watch(GridState.UNKNOWN, 600, 60);
    assertEquals(0, kept("utility outages"), 1e-9);
    trust.watch(GridState.GONE, now);
    watch(GridState.UNKNOWN, 600, 60);
    assertTrue(kept("utility outages") > 0.99);
  }

  @Test
  void noNoteMakesNegativeHours() {
    trust.keep(
        new Given()
            .with("utility watched", -5.0)
            .with("utility outages", -5.0)
            .with("utility out", -5.0));
    assertEquals(1.5 / 8757, trust.beginning(), 1e-12);
    assertEquals(2, trust.meanHours(), 1e-12);
  }
}
