package islet.site;

import java.math.BigDecimal;

/**
 * A unit as it is written behind a number.
 *
 * @param symbol as written; empty for a plain number
 * @param dimension what it measures
 * @param factor one of this unit in the dimension's own unit
 * @param offset what is added after multiplication, for temperatures
 */
public record Unit(String symbol, Dimension dimension, BigDecimal factor, BigDecimal offset) {

  /** A number of this unit in the dimension's own unit, rounded once. */
  public double convert(BigDecimal number) {
    return number.multiply(factor).add(offset).doubleValue();
  }
}
