package islet.cli.reference;

import islet.bench.Event;
import islet.bench.RunRecord;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.WeatherSource;
import islet.fault.FaultKind;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The hardest case for whoever must notice that the utility is gone: the tie is welded, and the
 * line keeps a load of resistance, inductance and capacitance in parallel that takes about what the
 * site feeds, with a quality factor of 1 (the anti-islanding test of IEEE Std 1547.1, from memory).
 */
final class IslandTest {

  /** 2026-06-25 12:00 at the demo site. */
  private static final long START = 1_782_406_800_000_000L;

  private static final long WELDED = 40_000_000L;
  private static final long GONE = 60_000_000L;
  private static final long END = 66_000_000L;

  /** Less than this on a line is nothing that a meter or a person would notice, V. */
  private static final double NOTHING_V = 1;

  private static final double NOMINAL_V = 240;

  /** Watts of the load over what the site feeds. */
  private static final double[] SHARES = {0.9, 1, 1.1};

  /** Capacitive vars too many over those watts; the standard's test moves them to 5 %. */
  private static final double[] IMBALANCES = {-0.05, -0.01, 0, 0.01, 0.04, 0.05};

  private IslandTest() {}

  /**
   * The longest time that the dead line carried our voltage, s; not a number when it never did,
   * since then nothing was tested.
   */
  static double fedS(Path config) {
    double longest = Double.NaN;
    for (double share : SHARES) {
      for (double imbalance : IMBALANCES) {
        double fed = fedS(config, new Event.Match(share, 1, imbalance));
        longest = Double.isNaN(longest) ? fed : Math.max(longest, fed);
      }
    }
    return longest;
  }

  /** How long the dead line carried our voltage over such a load, s; not a number for never. */
  static double fedS(Path config, Event.Match match) {
    RunRecord run =
        new TestRun(config)
            .run(
                START,
                END,
                new WeatherSource.Constant(800, 25),
                0.98,
                List.of(
                    new Event.Fault(WELDED, FaultKind.TIE_WELDED, "tie", "", Map.of(), "", 0),
                    new Event.Outage(GONE, END - GONE, 0, Optional.of(match))));
    Trace trace = run.trace();
    double fed = Double.NaN;
    for (int row = 1; row < trace.rows(); row++) {
      // A row's values hold until the next one.
      boolean dead = trace.value(row - 1, Signal.UTILITY_LIVE) == 0;
      if (dead && trace.value(row - 1, Signal.UTILITY_VOLTAGE) * NOMINAL_V > NOTHING_V) {
        fed = (trace.micros(row) - START - GONE) / 1e6;
      }
    }
    return fed;
  }
}
