package islet.bench.campaign;

import java.util.List;

/**
 * What a case came to: one row of the results.
 *
 * @param id the case's number
 * @param course its course
 * @param mode in which the first mishap begins; empty when none does
 * @param mishap what happened
 * @param atMicros when the first mishap begins, µs after the start; −1 when none does
 * @param events the mishaps as a scenario writes them, one a line
 * @param supervisor whose logic was judged
 * @param verdict how it went
 * @param hazard the nearest hazard; empty when the case broke off
 * @param share the nearest hazard's share of its scale over that in the undisturbed course
 * @param firstAtSeconds when it was nearest, or first violated
 * @param detail what happened there, for a person
 * @param margins one for each hazard, in the order of their list and their own units; NaN when the
 *     case broke off
 * @param shares the same as shares of the hazards' own scales
 */
public record CaseRow(
    long id,
    String course,
    String mode,
    String mishap,
    long atMicros,
    String events,
    String supervisor,
    Verdict verdict,
    String hazard,
    double share,
    double firstAtSeconds,
    String detail,
    List<Double> margins,
    List<Double> shares) {

  public CaseRow {
    margins = List.copyOf(margins);
    shares = List.copyOf(shares);
  }

  /** How a case went. */
  public enum Verdict {
    PASS,
    FAIL,
    /** Violated, but waived by the campaign with a reason. */
    WAIVED,
    /** The supervisor or the bench broke off. */
    BROKEN
  }

  /** Whether it counts against the supervisor. */
  public boolean failed() {
    return verdict == Verdict.FAIL || verdict == Verdict.BROKEN;
  }
}
