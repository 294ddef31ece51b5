package islet.bench;

import java.util.Optional;

/**
 * How far a hazard is from being violated at one instant, while something could violate it.
 *
 * @param share the margin as a share of its scale, by which formulas of different units compare: 1
 *     for the whole of it, 0 at the bound
 * @param margin what is left to the bound, in the unit; negative beyond it
 * @param unit of the margin; {@code 1} for a count
 * @param detail a sentence for a person
 */
public record Distance(double share, double margin, String unit, String detail) {

  /** The nearer to being violated of two that may or may not apply. */
  static Optional<Distance> nearer(Optional<Distance> one, Optional<Distance> other) {
    if (one.isEmpty() || other.isEmpty()) {
      return one.isEmpty() ? other : one;
    }
    return other.get().share < one.get().share ? other : one;
  }
}
