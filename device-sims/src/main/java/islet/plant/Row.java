package islet.plant;

/**
 * One published value and what this package makes of it.
 *
 * @param id number of the check
 * @param check what is compared
 * @param source where the expected value is published
 * @param fromMemory true when the value was written down from memory rather than from the source
 * @param expected published value
 * @param computed what this package computes now
 * @param tolerance largest allowed difference
 * @param unit of all three; empty for a ratio
 */
public record Row(
    String id,
    String check,
    String source,
    boolean fromMemory,
    double expected,
    double computed,
    double tolerance,
    String unit) {

  /** True when the computed value lies within the tolerance. */
  public boolean pass() {
    return Math.abs(computed - expected) <= tolerance;
  }
}
