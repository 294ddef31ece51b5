package islet.bench.check;

/** How bad a finding is, worst first. */
public enum Severity {
  /** Somebody may be hurt or the battery ruined: do not energise. */
  DANGER,
  /** It will not work as meant: correct it before commissioning. */
  WRONG,
  /** It may be meant so: ask, and write the answer down. */
  DOUBTFUL,
  /** Good to know. */
  NOTE;

  /** Whether this is worse than the other. */
  boolean worseThan(Severity other) {
    return compareTo(other) < 0;
  }
}
