package islet.contract;

import java.nio.charset.StandardCharsets;

/**
 * Numbers as decimal text with a fixed count of decimals: the same bytes on every JDK, which {@code
 * Double.toString} does not give (its shortest form changed with JDK 19), and several times faster.
 * Half a unit of the last place is rounded away from zero; trailing zeros after the point are left
 * out; no minus before zero.
 */
public final class Decimal {

  /** The most bytes that one number takes. */
  public static final int LONGEST = 24;

  /** The most decimals. */
  public static final int MOST_DECIMALS = 9;

  private static final long[] POWERS = {
    1L, 10L, 100L, 1_000L, 10_000L, 100_000L, 1_000_000L, 10_000_000L, 100_000_000L, 1_000_000_000L
  };

  private Decimal() {}

  /**
   * Writes a number.
   *
   * @param decimals 0 to 9
   * @return the offset behind the last byte written
   * @throws IllegalArgumentException when the value is not finite or too large (9.2e18 units of the
   *     last place)
   */
  public static int write(double value, int decimals, byte[] out, int offset) {
    long power = POWERS[decimals];
    double scaled = Math.abs(value) * power;
    if (!(scaled < 9.2e18)) {
      throw new IllegalArgumentException(
          "cannot write the number " + value + " with " + decimals + " decimals");
    }
    long units = (long) (scaled + 0.5);
    int at = offset;
    if (value < 0 && units != 0) {
      out[at++] = '-';
    }
    at = write(units / power, out, at);
    long fraction = units % power;
    if (fraction != 0) {
      out[at++] = '.';
      long place = power / 10;
      while (fraction != 0) {
        out[at++] = (byte) ('0' + fraction / place);
        fraction %= place;
        place /= 10;
      }
    }
    return at;
  }

  /** Writes a whole number; returns the offset behind the last byte written. */
  public static int write(long value, byte[] out, int offset) {
    int at = offset;
    long rest = value;
    if (rest < 0) {
      out[at++] = '-';
      rest = -rest;
    }
    int digits = 1;
    for (long r = rest; r >= 10; r /= 10) {
      digits++;
    }
    for (int i = at + digits - 1; i >= at; i--) {
      out[i] = (byte) ('0' + rest % 10);
      rest /= 10;
    }
    return at + digits;
  }

  /** The text of a number. */
  public static String text(double value, int decimals) {
    byte[] out = new byte[LONGEST];
    return new String(out, 0, write(value, decimals, out, 0), StandardCharsets.US_ASCII);
  }
}
