package islet.plant;

/**
 * A converter's heat sink and what it does to the rating.
 *
 * @param riseK heat sink above the room at rated output for ever, K
 * @param timeConstantS time constant of its warming, s
 * @param derateFromC heat sink temperature up to which it gives its full rating, °C
 * @param derateToC heat sink temperature at which it gives nothing more, °C; the rating falls on a
 *     straight line between the two
 */
public record ThermalSpec(
    double riseK, double timeConstantS, double derateFromC, double derateToC) {
  /** Checks the ranges. */
  public ThermalSpec {
    Require.within(riseK, 1, 150, "The heat sink's rise at rated output in K");
    Require.within(timeConstantS, 1, 86_400, "The heat sink's time constant in s");
    Require.that(
        derateFromC < derateToC,
        "The rating falls from "
            + derateFromC
            + " °C and is gone at "
            + derateToC
            + " °C; the second must be above the first.");
  }
}
