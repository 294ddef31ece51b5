package islet.executive;

/** The one source of time: virtual on the bench, the machine's in the field. */
@FunctionalInterface
public interface Clock {

  /** The present instant in microseconds since 1970-01-01T00:00Z. */
  long micros();

  /**
   * A device's report has come.
   *
   * @param datedMicros what the device's own clock said when it was made
   */
  default void heard(long datedMicros) {}

  /**
   * By how much the machine's clock is ahead of this one, which does not believe it, in
   * microseconds; 0 while they agree.
   */
  default long disputedMicros() {
    return 0;
  }
}
