package islet.cli;

import islet.bench.campaign.CampaignRun;
import java.io.PrintWriter;
import java.util.Locale;

/** Tells a person at a terminal how far a campaign is, how long it will take, and what failed. */
final class CampaignProgress implements CampaignRun.Progress {

  private static final double EVERY_S = 0.5;
  private static final int BAR = 24;
  private static final int WIDTH = 78;

  private final PrintWriter err;
  private final long begun = System.nanoTime();
  private double told;

  CampaignProgress(PrintWriter err) {
    this.err = err;
  }

  @Override
  public synchronized void at(long done, long here, long of, long failed) {
    double elapsed = (System.nanoTime() - begun) * 1e-9;
    if (!Boolean.getBoolean("islet.terminal") || elapsed - told < EVERY_S) {
      return;
    }
    told = elapsed;
    double share = Math.min(1, done / (double) Math.max(1, of));
    double left = here == 0 ? 0 : elapsed / here * Math.max(0, of - done);
    int full = (int) (BAR * share);
    String text =
        String.format(
            Locale.ROOT,
            "[%s%s] %d of %d, %d failed, %s left",
            "#".repeat(full),
            "-".repeat(BAR - full),
            done,
            of,
            failed,
            span(left));
    err.print("\r" + text + " ".repeat(Math.max(0, WIDTH - text.length())));
    err.flush();
  }

  private static String span(double seconds) {
    long s = Math.round(seconds);
    return s < 120
        ? s + " s"
        : s < 7200
            ? String.format(Locale.ROOT, "%d min", s / 60)
            : String.format(Locale.ROOT, "%.1f h", s / 3600.0);
  }

  void end() {
    if (Boolean.getBoolean("islet.terminal")) {
      err.print("\r" + " ".repeat(WIDTH) + "\r");
      err.flush();
    }
  }
}
