package islet.metrics;

import islet.executive.Turn;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicLongArray;
import java.util.function.LongSupplier;

/**
 * How long scans take, counted in fixed buckets. One thread measures, any thread reads; measuring
 * allocates nothing and waits for nobody.
 */
public final class ScanTimes {

  /** Upper bounds of the buckets, ns, inclusive; behind the last everything else. */
  private static final long[] BOUNDS_NANOS = {
    100_000,
    250_000,
    500_000,
    1_000_000,
    2_500_000,
    5_000_000,
    10_000_000,
    25_000_000,
    50_000_000,
    100_000_000
  };

  /** The same as the standard writes them, s. */
  private static final String[] BOUNDS = {
    "0.0001", "0.00025", "0.0005", "0.001", "0.0025", "0.005", "0.01", "0.025", "0.05", "0.1"
  };

  private final LongSupplier steadyNanos;
  private final AtomicLongArray counts = new AtomicLongArray(BOUNDS_NANOS.length + 1);
  private final AtomicLong sumNanos = new AtomicLong();
  private final AtomicLong longestNanos = new AtomicLong();

  /**
   * Measures by a clock.
   *
   * @param steadyNanos a clock that never goes back, ns
   */
  public ScanTimes(LongSupplier steadyNanos) {
    this.steadyNanos = steadyNanos;
  }

  /** The same work, measured each time that it is done: act and tell are one scan. */
  public Turn measured(Turn scan) {
    return new Turn() {
      private long actedNanos;

      @Override
      public void act() {
        long begun = steadyNanos.getAsLong();
        scan.act();
        actedNanos = steadyNanos.getAsLong() - begun;
      }

      @Override
      public void tell() {
        long begun = steadyNanos.getAsLong();
        scan.tell();
        count(actedNanos + steadyNanos.getAsLong() - begun);
      }

      @Override
      public boolean urgent() {
        return scan.urgent();
      }
    };
  }

  private void count(long nanos) {
    int bucket = 0;
    while (bucket < BOUNDS_NANOS.length && nanos > BOUNDS_NANOS[bucket]) {
      bucket++;
    }
    counts.lazySet(bucket, counts.get(bucket) + 1);
    sumNanos.lazySet(sumNanos.get() + nanos);
    if (nanos > longestNanos.get()) {
      longestNanos.lazySet(nanos);
    }
  }

  /** Writes the histogram, and the longest scan, which a histogram does not tell. */
  void write(OpenMetrics page) {
    page.family("islet_scan_seconds", "histogram", "seconds", "How long scans take.");
    long below = 0;
    for (int bucket = 0; bucket < BOUNDS_NANOS.length; bucket++) {
      below += counts.get(bucket);
      page.sample("islet_scan_seconds_bucket", below, "le", BOUNDS[bucket]);
    }
    below += counts.get(BOUNDS_NANOS.length);
    page.sample("islet_scan_seconds_bucket", below, "le", "+Inf");
    page.sample("islet_scan_seconds_count", below);
    page.sample("islet_scan_seconds_sum", sumNanos.get() * 1e-9);
    page.family(
        "islet_scan_longest_seconds", "gauge", "seconds", "The longest scan since the start.");
    page.sample("islet_scan_longest_seconds", longestNanos.get() * 1e-9);
  }
}
