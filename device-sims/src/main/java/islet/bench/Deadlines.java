package islet.bench;

import islet.bench.margin.Deadline;

/** From a deadline to a finding. */
final class Deadlines {

  private Deadlines() {}

  /** The finding; the margin in seconds. */
  static Finding finding(Deadline deadline, String text) {
    return new Finding(
        deadline.marginS(), deadline.marginS(), "s", !deadline.met(), deadline.metAt(), text);
  }
}
