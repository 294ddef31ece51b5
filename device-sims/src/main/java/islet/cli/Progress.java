package islet.cli;

import java.io.PrintWriter;
import java.util.Locale;

/**
 * Tells a person at a terminal how far a long run is and how long it will still take. Says nothing
 * otherwise.
 */
final class Progress {

  /** A run that takes less than this needs no word. */
  private static final double QUIET_S = 2;

  private static final double EVERY_S = 0.5;

  private final PrintWriter err;
  private final String what;
  private final double wholeMicros;
  private final long begun = System.nanoTime();
  private double lastTold;
  private boolean told;

  Progress(PrintWriter err, long wholeMicros) {
    this(err, wholeMicros, "");
  }

  /** With a word of which run it is, such as {@code "run 2 of 3, "}. */
  Progress(PrintWriter err, long wholeMicros, String what) {
    this.err = err;
    this.what = what;
    this.wholeMicros = wholeMicros;
  }

  void at(long doneMicros) {
    double elapsed = (System.nanoTime() - begun) * 1e-9;
    if (!Boolean.getBoolean("islet.terminal")
        || elapsed < QUIET_S
        || elapsed - lastTold < EVERY_S) {
      return;
    }
    lastTold = elapsed;
    told = true;
    double share = doneMicros / wholeMicros;
    err.print(
        String.format(
            Locale.ROOT,
            "\r%s%3.0f %% of the run, %.0f s left, %.0f× real time ",
            what,
            100 * share,
            elapsed / share - elapsed,
            doneMicros * 1e-6 / elapsed));
    err.flush();
  }

  void end() {
    if (told) {
      err.print("\r" + " ".repeat(60 + what.length()) + "\r");
      err.flush();
    }
  }
}
