package islet.contract;

/** An alarm's life, after IEC 62682. */
public enum AlarmState {
  /** It is there and nobody has seen it. */
  UNACKNOWLEDGED,
  /** It is there and somebody has seen it. */
  ACKNOWLEDGED,
  /** It went away before anybody saw it. */
  RETURNED,
  /** It is over. */
  NORMAL,
  /** Put aside for a time. */
  SHELVED,
  /** There, but another alarm that stands explains it. */
  SUPPRESSED
}
