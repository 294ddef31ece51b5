package islet.bench;

import islet.bench.margin.LongestStay;
import java.util.Optional;

/** From a duration bound to a finding. */
final class Stays {

  private Stays() {}

  /**
   * How much of the time is left in which a state may be stayed in.
   *
   * @param what is so, as the beginning of a sentence that goes on with the time
   * @return empty while the state does not hold
   */
  static Optional<Distance> distance(LongestStay stay, long micros, String what) {
    if (!stay.inside()) {
      return Optional.empty();
    }
    double stays = stay.staysS(micros);
    double left = stay.boundS() - stays;
    return Optional.of(
        new Distance(
            left / stay.boundS(),
            left,
            "s",
            what
                + " for "
                + Amount.of(stays, "s")
                + "; allowed are "
                + Amount.of(stay.boundS(), "s")
                + "."));
  }

  /** The finding of a state that was entered; the margin in seconds. */
  static Finding finding(LongestStay stay, String detail) {
    boolean violated = stay.violatedAt() >= 0;
    return new Finding(
        stay.marginS() / stay.boundS(),
        stay.marginS(),
        "s",
        violated,
        violated ? stay.violatedAt() : stay.longestEnd(),
        detail);
  }
}
