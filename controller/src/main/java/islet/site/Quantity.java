package islet.site;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A number with its unit.
 *
 * @param value in the dimension's own unit
 * @param dimension what it measures
 */
public record Quantity(double value, Dimension dimension) {

  /** Digits are limited so that hostile text can't ask for a number of a million places. */
  static final String NUMBER = "[-+]?\\d{1,12}(?:\\.\\d{1,20})?(?:[eE][-+]?\\d{1,2})?";

  private static final Pattern FORM = Pattern.compile("(" + NUMBER + ")\\s?(\\S*)");

  /**
   * Reads a number and a unit such as {@code 400 Ah}.
   *
   * @return empty when the text is no number or its unit is not one of the dimension's
   */
  public static Optional<Quantity> parse(String text, Dimension dimension) {
    Matcher parts = FORM.matcher(text);
    if (!parts.matches()) {
      return Optional.empty();
    }
    BigDecimal number = new BigDecimal(parts.group(1));
    return dimension
        .unit(parts.group(2))
        .map(unit -> new Quantity(unit.convert(number), dimension));
  }

  /** The quantity in the dimension's own unit. */
  @Override
  public String toString() {
    return dimension.text(value);
  }
}
