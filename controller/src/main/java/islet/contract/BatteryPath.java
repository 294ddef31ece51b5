package islet.contract;

/**
 * Which way current can flow between battery and DC bus, as the battery's own protection lets it.
 */
public enum BatteryPath {
  /** Both ways. */
  CLOSED,
  /** Only out of the battery; it refuses to be charged. */
  DISCHARGE_ONLY,
  /** Not at all; what the other meters call battery voltage is the bare bus. */
  OPEN
}
