package islet.bench.report;

import islet.contract.Decimal;
import java.nio.charset.StandardCharsets;

/** Numbers as a reader wants them. Every one goes through {@link Decimal}. */
final class Num {

  /** Stands where there is no number. */
  static final String NONE = "–";

  /** Beyond this a number is not worth printing; also keeps clear of {@link Decimal}'s limit. */
  private static final double LARGEST = 1e9;

  private Num() {}

  /** Appends a coordinate with one decimal; not finite or absurd ones become 0. */
  static StringBuilder coordinate(StringBuilder out, double value) {
    return plain(out, Math.abs(value) < LARGEST ? value : 0, 1);
  }

  private static StringBuilder plain(StringBuilder out, double value, int decimals) {
    byte[] bytes = new byte[Decimal.LONGEST];
    int end = Decimal.write(value, decimals, bytes, 0);
    for (int i = 0; i < end; i++) {
      out.append((char) bytes[i]);
    }
    return out;
  }

  /** A number with exactly so many decimals, so that a column lines up. */
  static String fixed(double value, int decimals) {
    if (!(Math.abs(value) < LARGEST)) {
      return beyond(value);
    }
    StringBuilder text = new StringBuilder(typographic(Decimal.text(value, decimals)));
    if (decimals > 0) {
      int point = text.indexOf(".");
      if (point < 0) {
        point = text.length();
        text.append('.');
      }
      while (text.length() - point <= decimals) {
        text.append('0');
      }
    }
    return text.toString();
  }

  /** A number with at least three significant digits and no trailing zeros. */
  static String significant(double value) {
    double size = Math.abs(value);
    if (!(size < LARGEST)) {
      return beyond(value);
    }
    int decimals;
    if (size >= 100) {
      decimals = 1;
    } else if (size >= 10) {
      decimals = 2;
    } else if (size >= 0.1) {
      decimals = 3;
    } else {
      decimals = 5;
    }
    return typographic(Decimal.text(value, decimals));
  }

  private static String beyond(double value) {
    if (value == Double.POSITIVE_INFINITY) {
      return "unbounded";
    }
    return Double.isNaN(value) ? NONE : value > 0 ? "> 10⁹" : "< −10⁹";
  }

  /** A number on an axis whose ticks are {@code step} apart. */
  static String tick(double value, double step) {
    int decimals = 0;
    for (double s = step; s < 0.999 && decimals < 6; s *= 10) {
      decimals++;
    }
    return typographic(Decimal.text(value, decimals));
  }

  /** A length of time in the unit that suits it. */
  static String duration(double seconds) {
    if (!(seconds >= 0 && seconds < LARGEST)) {
      return beyond(seconds);
    }
    if (seconds < 0.9995) {
      return Decimal.text(seconds * 1000, seconds < 0.01 ? 1 : 0) + "\u00a0ms";
    }
    if (seconds < 59.995) {
      return Decimal.text(seconds, 2) + "\u00a0s";
    }
    long whole = Math.round(seconds);
    StringBuilder out = new StringBuilder();
    unit(out, whole / 86_400, "d");
    unit(out, whole / 3600 % 24, "h");
    unit(out, whole / 60 % 60, "min");
    unit(out, whole % 60, "s");
    return out.toString();
  }

  private static void unit(StringBuilder out, long count, String unit) {
    if (count != 0) {
      if (out.length() > 0) {
        out.append(' ');
      }
      out.append(count).append('\u00a0').append(unit);
    }
  }

  /** A whole number with its thousands set apart. */
  static String count(long value) {
    byte[] bytes = new byte[Decimal.LONGEST];
    String digits = new String(bytes, 0, Decimal.write(value, bytes, 0), StandardCharsets.US_ASCII);
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < digits.length(); i++) {
      if (i > 0 && (digits.length() - i) % 3 == 0 && digits.charAt(i - 1) != '-') {
        out.append('\u202f');
      }
      out.append(digits.charAt(i));
    }
    return typographic(out.toString());
  }

  private static String typographic(String number) {
    return number.startsWith("-") ? "−" + number.substring(1) : number;
  }
}
