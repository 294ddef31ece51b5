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

  private static final double DECADE = 10;

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

  /**
   * A value for chance. A range that spans more than a decade is walked by its logarithm, so that
   * milliseconds are as likely as seconds.
   *
   * @param share 0 (included) to 1 (excluded)
   */
  public double at(double share) {
    if (!isRange()) {
      return choices.get((int) Math.min(choices.size() - 1L, (long) (share * choices.size())));
    }
    boolean decades = from > 0 && to / from >= DECADE;
    return decades ? from * StrictMath.pow(to / from, share) : from + share * (to - from);
  }
}
