package islet.cli.reference;

import islet.bench.Event;
import islet.bench.RunRecord;
import islet.bench.WeatherSource;
import java.nio.file.Path;
import java.util.List;

/**
 * How long after the utility's return the site begins to reconnect, and how long after it the tie
 * closes.
 *
 * @param beginS to the mode RECONNECTING, s
 * @param closedS to the closing of the tie's contacts, s; infinite when it does not close
 */
record ReturnTest(double beginS, double closedS) {

  private static final long START = 1_768_424_400_000_000L;
  private static final long GONE = 60_000_000;
  private static final long BACK = 120_000_000;
  private static final long END = 600_000_000;

  static ReturnTest of(Path config) {
    RunRecord run =
        new TestRun(config)
            .run(
                START,
                END,
                new WeatherSource.Constant(0, 15),
                0.9,
                List.of(new Event.Outage(GONE, BACK - GONE)));
    return new ReturnTest(
        since(TestRun.first(run, "supervisor", "mode", "RECONNECTING")),
        since(TestRun.first(run, "tie", "contact", "closed")));
  }

  private static double since(long micros) {
    return micros == Long.MAX_VALUE ? Double.POSITIVE_INFINITY : (micros - START - BACK) / 1e6;
  }
}
