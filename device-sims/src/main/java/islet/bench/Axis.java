package islet.bench;

import java.util.List;

/**
 * One number of a mishap, as a campaign varies it: some values, or a range.
 *
 * @param name its field
 * @param choices the values; empty when it is a range
 * @param from the range's lower end
 * @param to the range's upper end, above the lower one
 */
public record Axis(String name, List<Double> choices, double from, double to) {

  public Axis {
    choices = List.copyOf(choices);
  }

  /** Some values, one or more. */
  public static Axis of(String name, List<Double> choices) {
    return new Axis(name, choices, 0, 0);
  }

  /** All values between two. */
  public static Axis range(String name, double from, double to) {
    return new Axis(name, List.of(), from, to);
  }

  /** Whether it is a range. */
  public boolean isRange() {
    return choices.isEmpty();
  }

  /** A value for chance: 0 (included) to 1 (excluded). */
  public double at(double share) {
    return isRange()
        ? from + share * (to - from)
        : choices.get((int) Math.min(choices.size() - 1L, (long) (share * choices.size())));
  }
}
