package islet.contract;

/** How soon a person must act. */
public enum AlarmPriority {
  /** When there is time. */
  LOW,
  /** Today. */
  MEDIUM,
  /** Now. */
  HIGH
}
