package islet.plant;

/**
 * Three points of a converter's efficiency curve, each output over input.
 *
 * @param at10 at 10 % of rated output, between 0 and 1
 * @param at50 at 50 % of rated output
 * @param at100 at rated output
 */
public record Efficiency(double at10, double at50, double at100) {
  /** Checks the ranges. */
  public Efficiency {
    Require.within(at10, 0.3, 0.9999, "The efficiency at 10 % of rated power");
    Require.within(at50, 0.3, 0.9999, "The efficiency at 50 % of rated power");
    Require.within(at100, 0.3, 0.9999, "The efficiency at rated power");
  }
}
