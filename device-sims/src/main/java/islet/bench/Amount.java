package islet.bench;

import islet.contract.Decimal;

/** Numbers with their units for sentences. */
final class Amount {

  private Amount() {}

  /** Such as {@code 0.34 s}: three decimals at most. */
  static String of(double value, String unit) {
    return Decimal.text(value, 3) + " " + unit;
  }

  /** From the microsecond count to the sentence. */
  static long micros(double seconds) {
    return Math.round(seconds * 1e6);
  }
}
