package islet.site;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;

/**
 * Numbers as text. {@code Double.toString} gives other digits from JDK 19 on, so it is not used
 * where bytes must be the same everywhere.
 */
public final class Decimals {
  private Decimals() {}

  /**
   * The shortest decimal of at least twelve digits' precision that reads back as the same number,
   * without exponent.
   *
   * @param value finite
   */
  public static String text(double value) {
    BigDecimal exact = new BigDecimal(value);
    for (int digits = 12; digits <= 17; digits++) {
      BigDecimal rounded = exact.round(new MathContext(digits, RoundingMode.HALF_EVEN));
      if (rounded.doubleValue() == value) {
        return plain(rounded);
      }
    }
    return plain(exact);
  }

  private static String plain(BigDecimal value) {
    return value.signum() == 0 ? "0" : value.stripTrailingZeros().toPlainString();
  }
}
