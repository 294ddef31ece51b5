package islet.cli;

import islet.bench.reserve.ReserveStudy;
import java.io.PrintWriter;
import java.util.Locale;

/**
 * Tells a person at a terminal how far a reserve study is and how long its part will still take.
 */
final class CurveProgress implements ReserveStudy.Progress {

  private static final double EVERY_S = 0.5;
  private static final int WIDTH = 60;

  private final PrintWriter err;
  private String part = "";
  private long begun = System.nanoTime();
  private double told;

  CurveProgress(PrintWriter err) {
    this.err = err;
  }

  @Override
  public void rehearsed(long micros, long ofMicros) {
    at("rehearsals", micros, ofMicros);
  }

  @Override
  public void outages(long done, long of) {
    at("outages", done, of);
  }

  @Override
  public void proofs(long done, long of) {
    at("outages rehearsed whole", done, of);
  }

  private synchronized void at(String what, long done, long of) {
    if (!part.equals(what)) {
      part = what;
      begun = System.nanoTime();
      told = 0;
    }
    double elapsed = (System.nanoTime() - begun) * 1e-9;
    if (!Boolean.getBoolean("islet.terminal") || elapsed - told < EVERY_S) {
      return;
    }
    told = elapsed;
    double share = done / (double) of;
    String text =
        String.format(
            Locale.ROOT, "%s: %3.0f %%, %.0f s left", what, 100 * share, elapsed / share - elapsed);
    err.print("\r" + text + " ".repeat(Math.max(0, WIDTH - text.length())));
    err.flush();
  }

  void end() {
    if (Boolean.getBoolean("islet.terminal")) {
      err.print("\r" + " ".repeat(WIDTH) + "\r");
      err.flush();
    }
  }
}
