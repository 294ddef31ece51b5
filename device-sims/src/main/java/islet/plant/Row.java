package islet.plant;

import java.util.Optional;

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
 * @param notRun why it could not be worked out here; empty when it was
 */
public record Row(
    String id,
    String check,
    String source,
    boolean fromMemory,
    double expected,
    double computed,
    double tolerance,
    String unit,
    Optional<String> notRun) {

  /** A row that was worked out. */
  public Row(
      String id,
      String check,
      String source,
      boolean fromMemory,
      double expected,
      double computed,
      double tolerance,
      String unit) {
    this(id, check, source, fromMemory, expected, computed, tolerance, unit, Optional.empty());
  }

  /** The same row, not worked out; it doesn't pass. */
  public Row notRun(String why) {
    return new Row(
        id, check, source, fromMemory, expected, Double.NaN, tolerance, unit, Optional.of(why));
  }

  /** True when it was worked out and lies within the tolerance. */
  public boolean pass() {
    return notRun.isEmpty() && Math.abs(computed - expected) <= tolerance;
  }
}
