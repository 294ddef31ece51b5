package islet.plant;

/**
 * Local standard time without daylight saving, as weather and load files keep it: a fixed offset
 * from universal time, and any civil year folded onto one year of 365 days (29 February reads the
 * day before).
 */
final class StandardTime {
  static final long SECOND = 1_000_000L;
  static final long MINUTE = 60 * SECOND;
  static final long HOUR = 60 * MINUTE;
  static final long DAY = 24 * HOUR;
  static final int HOURS_IN_YEAR = 8760;

  private static final int[] DAYS_BEFORE_MONTH = {
    0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334
  };

  private final long offsetMicros;

  StandardTime(double utcOffsetH) {
    Require.within(utcOffsetH, -14, 14, "The offset from universal time in hours");
    this.offsetMicros = Math.round(utcOffsetH * 60) * MINUTE;
  }

  /** Day of the folded year counted from zero, for a month and a day both counted from one. */
  static int dayOfYear(int month, int day) {
    return DAYS_BEFORE_MONTH[month - 1] + (month == 2 ? Math.min(day, 28) : day) - 1;
  }

  /** Which hour of the folded year this instant lies in, 0 to 8759. */
  int hourOfYear(long epochMicros) {
    long local = epochMicros + offsetMicros;
    long days = Math.floorDiv(local, DAY);
    int hour = (int) (Math.floorMod(local, DAY) / HOUR);
    // Civil date from a day count, in years that begin in March so that the leap day comes last.
    long shifted = days + 719_468;
    long ofEra = Math.floorMod(shifted, 146_097L);
    long yearOfEra = (ofEra - ofEra / 1460 + ofEra / 36_524 - ofEra / 146_096) / 365;
    long ofMarchYear = ofEra - (365 * yearOfEra + yearOfEra / 4 - yearOfEra / 100);
    int marchMonth = (int) ((5 * ofMarchYear + 2) / 153);
    int day = (int) (ofMarchYear - (153L * marchMonth + 2) / 5) + 1;
    int month = marchMonth < 10 ? marchMonth + 3 : marchMonth - 9;
    return dayOfYear(month, day) * 24 + hour;
  }

  /** Time into the day, µs. */
  long microsOfDay(long epochMicros) {
    return Math.floorMod(epochMicros + offsetMicros, DAY);
  }

  /** Start of the local hour that holds this instant. */
  long startOfHour(long epochMicros) {
    return epochMicros - Math.floorMod(epochMicros + offsetMicros, HOUR);
  }
}
