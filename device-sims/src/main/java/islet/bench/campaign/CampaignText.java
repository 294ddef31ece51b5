package islet.bench.campaign;

import islet.contract.Decimal;
import islet.site.Section;
import java.util.List;
import java.util.Locale;

/** A campaign for the terminal: the answer first, then what came nearest. */
public final class CampaignText {

  private static final int MOST_FAILURES = 20;

  private CampaignText() {}

  /**
   * The text.
   *
   * @param complete whether all cases are there
   * @param of how many there are, or may be in a search
   */
  public static String of(Tally tally, boolean complete, long of) {
    StringBuilder text = new StringBuilder();
    text.append(verdict(tally, complete)).append("  ");
    text.append(tally.campaign().title()).append('\n');
    text.append(
        String.format(
            Locale.ROOT,
            "      %d cases, %d failed, %d waived%s%n",
            tally.cases(),
            tally.failed(),
            tally.waived(),
            complete ? "" : "; stopped before the end, at most " + of + " in all"));
    List<CaseRow> failures = tally.failures();
    if (!failures.isEmpty()) {
      text.append("\nFailed\n");
      failures.stream().limit(MOST_FAILURES).forEach(row -> line(text, row));
      if (tally.failed() > MOST_FAILURES) {
        text.append("  and ").append(tally.failed() - MOST_FAILURES).append(" more\n");
      }
    }
    if (tally.campaign().method() instanceof Campaign.Planted) {
      return planted(text, tally);
    }
    text.append(
        "\nNearest to a hazard among those that passed, as a share of the undisturbed run's");
    text.append(" distance\n");
    tally.nearest().forEach(row -> line(text, row));
    tally.campaign().waivers().forEach(w -> waiver(text, w));
    return text.toString();
  }

  private static String planted(StringBuilder text, Tally tally) {
    text.append("\nWhat was planted, and what caught it; Islet's own supervisor ran the same");
    text.append(" scenarios\n");
    for (CaseRow row : tally.planted()) {
      text.append(
          String.format(
              Locale.ROOT,
              "  %-7s %-36s %s%n",
              row.failed() ? "MISSED" : "caught",
              row.mishap().replaceFirst("^defect:", ""),
              row.detail()));
    }
    return text.toString();
  }

  /** One word for all. */
  public static String verdict(Tally tally, boolean complete) {
    return tally.failed() > 0 ? "FAIL" : complete ? "PASS" : "STOPPED";
  }

  private static void waiver(StringBuilder text, Campaign.Waiver waiver) {
    text.append("Waived: ").append(waiver.hazard()).append(" with ").append(waiver.kind());
    text.append(". ").append(waiver.because()).append('\n');
  }

  private static void line(StringBuilder text, CaseRow row) {
    text.append(String.format(Locale.ROOT, "  %6d  ", row.id()));
    text.append(
        String.format(
            Locale.ROOT,
            "%-18s %6s  %s, %s",
            row.hazard().isEmpty() ? Section.word(row.verdict()) : row.hazard(),
            share(row.share()),
            row.mishap(),
            row.course()));
    if (row.atMicros() >= 0) {
      text.append(String.format(Locale.ROOT, " %s at %.3f s", row.mode(), row.atMicros() / 1e6));
    }
    text.append('\n');
    if (row.failed()) {
      text.append("          ").append(row.detail()).append('\n');
    }
  }

  /** A share in percent. */
  static String share(double share) {
    return Decimal.text(100 * Math.max(-9.99, Math.min(9.99, share)), 0) + " %";
  }
}
