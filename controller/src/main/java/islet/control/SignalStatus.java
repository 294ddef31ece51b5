package islet.control;

/**
 * What the supervisor makes of a measured signal. Ordered by how surely it tells what is wrong: of
 * two that hold at once the later counts.
 */
enum SignalStatus {
  /** Believed. */
  GOOD(0),

  /**
   * Differs from the others beyond cables, currents and meter class, for five seconds, in which
   * everybody at 1 Hz has reported several times (common practice).
   */
  DISAGREES(5_000_000),

  /** Went by a step in which the others, heard after it, had no part. */
  JUMPED(0),

  /**
   * Has told the same value to its last digit while what it measures moved. What moves is told at 1
   * Hz, so three seconds leave it time to follow (common practice).
   */
  FROZEN(3_000_000),

  /** Told in another unit: by a factor of a thousand what the others say. */
  UNIT_SLIP(0),

  /** Outside what the quantity can be. */
  OUT_OF_RANGE(0);

  private final long patienceMicros;

  SignalStatus(long patienceMicros) {
    this.patienceMicros = patienceMicros;
  }

  /** For how long it must look so without a break before it is called so, microseconds. */
  long patienceMicros() {
    return patienceMicros;
  }

  boolean bad() {
    return this != GOOD;
  }
}
