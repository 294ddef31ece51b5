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

/**
 * The hardest case for whoever must notice that the utility is gone: the tie is welded, and what
 * the site feeds is about what the neighbours take, so that voltage and frequency stay near
 * nominal.
 */
final class IslandTest {

  /** 2026-06-25 12:00 at the demo site. */
  private static final long START = 1_782_406_800_000_000L;

  private static final long WELDED = 500_000_000L;
  private static final long GONE = 600_000_000L;
  private static final long END = 610_000_000L;

  /** Less than this on a line is nothing that a meter or a person would notice, V. */
  private static final double NOTHING_V = 1;

  private static final double NOMINAL_V = 240;

  /** The site feeds about 2 kW here; loads left on the line below, at and above that, W. */
  private static final int[] LINE_LOADS_W = {1500, 2000, 2500};

  private IslandTest() {}

  /**
   * The longest time that the dead line carried our voltage, s; not a number when it never did,
   * since then nothing was tested.
   */
  static double fedS(Path config) {
    double longest = Double.NaN;
    for (int load : LINE_LOADS_W) {
      double fed = fedS(config, load);
      longest = Double.isNaN(longest) ? fed : Math.max(longest, fed);
    }
    return longest;
  }

  private static double fedS(Path config, int lineLoadW) {
    RunRecord run =
        new TestRun(config)
            .with("utility.lineLoad", lineLoadW + " W")
            .run(
                START,
                END,
                new WeatherSource.Constant(800, 25),
                0.98,
                List.of(
                    new Event.Fault(WELDED, FaultKind.TIE_WELDED, "tie", "", Map.of(), "", 0),
                    new Event.Outage(GONE, END - GONE)));
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
