package islet.bench;

import islet.bench.margin.LongestStay;

/** From a duration bound to a finding. */
final class Stays {

  private Stays() {}

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
