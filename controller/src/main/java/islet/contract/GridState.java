package islet.contract;

/** What the supervisor makes of the utility. */
public enum GridState {
  /** No fresh measurement. */
  UNKNOWN,
  /** No voltage. */
  GONE,
  /** Outside the profile's limits for longer than the clearing time. */
  OUT,
  /** Outside the limits, but not yet for the clearing time. */
  RIDING,
  /** In the band to enter service, the delay still running. */
  RETURNING,
  /** In the band to enter service for the whole delay. */
  QUALIFIED
}
