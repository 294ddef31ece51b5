package islet.bench.check;

import java.util.OptionalDouble;

/**
 * What a site file doesn't say and a check needs.
 *
 * @param coldestC the coldest air in which the array ever sees the morning sun, °C
 * @param hottestC the hottest air around noon, °C
 * @param outageS the longest outage that the reserve shall bear, s; empty when none is stated
 */
public record Assumptions(double coldestC, double hottestC, OptionalDouble outageS) {

  /**
   * A cold morning and a hot noon of a continental climate at 40 to 45° of latitude, from memory.
   */
  public static final Assumptions USUAL = new Assumptions(-25, 40, OptionalDouble.empty());
}
