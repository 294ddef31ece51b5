package islet.contract;

/**
 * Instants as ISO 8601 text with milliseconds in UTC, {@code 2026-01-14T21:00:00.000Z}, and back.
 * Microseconds since 1970-01-01T00:00Z inside. Written by hand because a run of a year formats and
 * reads tens of millions of them.
 *
 * <p>Day count by the proleptic Gregorian calendar, years 1970 to 9999.
 */
public final class IsoTime {

  /** Length of the text. */
  public static final int LENGTH = 24;

  private static final long MICROS_PER_DAY = 86_400_000_000L;

  /** The last microsecond that can be written, end of the year 9999. */
  public static final long MAXIMUM = 253_402_300_799_999_999L;

  private IsoTime() {}

  /**
   * Writes an instant (microseconds since 1970, 0 to {@link #MAXIMUM}) into {@code out} from {@code
   * offset}.
   */
  static void write(long micros, byte[] out, int offset) {
    long day = micros / MICROS_PER_DAY;
    int milli = (int) ((micros - day * MICROS_PER_DAY) / 1000);
    // Civil date from a day count, with years that begin on 1 March (textbook calendar arithmetic).
    long shifted = day + 719_468;
    long era = shifted / 146_097;
    long dayOfEra = shifted - era * 146_097;
    long yearOfEra = (dayOfEra - dayOfEra / 1460 + dayOfEra / 36_524 - dayOfEra / 146_096) / 365;
    long dayOfYear = dayOfEra - (365 * yearOfEra + yearOfEra / 4 - yearOfEra / 100);
    long monthFromMarch = (5 * dayOfYear + 2) / 153;
    int dayOfMonth = (int) (dayOfYear - (153 * monthFromMarch + 2) / 5 + 1);
    int month = (int) (monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9);
    int year = (int) (yearOfEra + era * 400 + (month <= 2 ? 1 : 0));
    digits(year, 4, out, offset);
    out[offset + 4] = '-';
    digits(month, 2, out, offset + 5);
    out[offset + 7] = '-';
    digits(dayOfMonth, 2, out, offset + 8);
    out[offset + 10] = 'T';
    digits(milli / 3_600_000, 2, out, offset + 11);
    out[offset + 13] = ':';
    digits(milli / 60_000 % 60, 2, out, offset + 14);
    out[offset + 16] = ':';
    digits(milli / 1000 % 60, 2, out, offset + 17);
    out[offset + 19] = '.';
    digits(milli % 1000, 3, out, offset + 20);
    out[offset + 23] = 'Z';
  }

  private static void digits(int value, int count, byte[] out, int offset) {
    int rest = value;
    for (int i = offset + count - 1; i >= offset; i--) {
      out[i] = (byte) ('0' + rest % 10);
      rest /= 10;
    }
  }

  /** The text of an instant in microseconds since 1970. */
  public static String text(long micros) {
    byte[] out = new byte[LENGTH];
    write(Math.max(0, Math.min(MAXIMUM, micros)), out, 0);
    return new String(out, java.nio.charset.StandardCharsets.US_ASCII);
  }

  /**
   * Reads an instant.
   *
   * @return microseconds since 1970, or −1 when the characters are not such an instant
   */
  static long read(char[] text, int offset, int length) {
    if (length != LENGTH
        || text[offset + 4] != '-'
        || text[offset + 7] != '-'
        || text[offset + 10] != 'T'
        || text[offset + 13] != ':'
        || text[offset + 16] != ':'
        || text[offset + 19] != '.'
        || text[offset + 23] != 'Z') {
      return -1;
    }
    int year = number(text, offset, 4);
    int month = number(text, offset + 5, 2);
    int day = number(text, offset + 8, 2);
    int hour = number(text, offset + 11, 2);
    int minute = number(text, offset + 14, 2);
    int second = number(text, offset + 17, 2);
    int milli = number(text, offset + 20, 3);
    if (year < 1970
        || month < 1
        || month > 12
        || day < 1
        || day > daysIn(year, month)
        || hour < 0
        || hour > 23
        || minute < 0
        || minute > 59
        || second < 0
        || second > 59
        || milli < 0) {
      return -1;
    }
    long yearFromMarch = month <= 2 ? year - 1L : year;
    long era = yearFromMarch / 400;
    long yearOfEra = yearFromMarch - era * 400;
    long dayOfYear = (153L * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    long dayOfEra = yearOfEra * 365 + yearOfEra / 4 - yearOfEra / 100 + dayOfYear;
    long days = era * 146_097 + dayOfEra - 719_468;
    return days * MICROS_PER_DAY + ((hour * 3600L + minute * 60L + second) * 1000L + milli) * 1000L;
  }

  private static int daysIn(int year, int month) {
    return switch (month) {
      case 2 -> year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) ? 29 : 28;
      case 4, 6, 9, 11 -> 30;
      default -> 31;
    };
  }

  private static int number(char[] text, int offset, int count) {
    int value = 0;
    for (int i = offset; i < offset + count; i++) {
      char c = text[i];
      if (c < '0' || c > '9') {
        return -1;
      }
      value = value * 10 + c - '0';
    }
    return value;
  }
}
