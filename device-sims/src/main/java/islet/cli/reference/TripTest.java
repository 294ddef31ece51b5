package islet.cli.reference;

import islet.bench.Event;
import islet.bench.RunRecord;
import islet.bench.WeatherSource;
import islet.site.GridProfile.Quantity;
import java.nio.file.Path;
import java.util.List;

/**
 * Takes the utility just inside a limit for longer than the clearing time, then just beyond it, and
 * measures how long the tie's contacts take to part. A site that trips too early fails as well as
 * one that trips late or never.
 */
final class TripTest {

  /** 2026-01-14 15:00 at the demo site: weekday, no charge window, no sun in this test. */
  private static final long START = 1_768_424_400_000_000L;

  /** The supervisor has started and the site is quiet by then. */
  private static final long QUIET = 10_000_000;

  /** Well above the drop on the service, well below the distance between two limits. */
  private static final double STEP_PU = 0.01;

  private static final double STEP_HZ = 0.1;
  private static final long SPARE = 1_000_000;

  private final TestRun run;

  /** Trips under a profile. */
  TripTest(Path config, String profile) {
    run =
        new TestRun(config)
            .with("profile", "../profiles/" + profile)
            // The site's own reasons to leave earlier are put aside: only the grid code acts.
            .with("supervision.onSag", "ride-through")
            .with("tie.lossBelow", "0 pu");
  }

  /**
   * The clearing time in s, negative when the tie opened inside the limit, infinite when it did not
   * open.
   */
  double clearingS(Quantity quantity, double limit, double expectedS) {
    long hold = Math.round(expectedS * 1e6) + SPARE;
    double beyond =
        switch (quantity) {
          case OVER_VOLTAGE -> STEP_PU;
          case UNDER_VOLTAGE -> -STEP_PU;
          case OVER_FREQUENCY -> STEP_HZ;
          case UNDER_FREQUENCY -> -STEP_HZ;
        };
    RunRecord record =
        run.run(
            START,
            QUIET + 2 * hold + SPARE,
            new WeatherSource.Constant(0, 15),
            0.9,
            List.of(
                event(quantity, QUIET, limit - beyond, hold),
                event(quantity, QUIET + hold, limit + beyond, hold)));
    long parted = TestRun.first(record, "tie", "contact", "open");
    return parted == Long.MAX_VALUE
        ? Double.POSITIVE_INFINITY
        : (parted - START - QUIET - hold) / 1e6;
  }

  private static Event event(Quantity quantity, long at, double value, long lasting) {
    return switch (quantity) {
      case OVER_VOLTAGE -> new Event.Swell(at, value, lasting);
      case UNDER_VOLTAGE -> new Event.Sag(at, value, lasting);
      case OVER_FREQUENCY, UNDER_FREQUENCY -> new Event.FrequencyStep(at, value, lasting);
    };
  }
}
