package islet.bench;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;

/**
 * The intervals of a meter: counted in elapsed time from each local midnight, so that a day of 23
 * hours has four quarter-hours fewer and one of 25 hours four more. Where the clock is changed by
 * less than an interval, the last one of that day is cut at midnight.
 */
final class IntervalClock {

  private static final long MICROS_PER_MINUTE = 60_000_000L;
  private static final long MICROS_PER_SECOND = 1_000_000L;

  private final ZoneId zone;
  private final long length;
  private long dayBegin = Long.MAX_VALUE;
  private long dayEnd = Long.MIN_VALUE;
  private long begin;
  private long end;

  IntervalClock(ZoneId zone, int minutes) {
    this.zone = zone;
    this.length = minutes * MICROS_PER_MINUTE;
  }

  /** Finds the interval that holds an instant, microseconds since 1970; its end is outside. */
  void turnTo(long micros) {
    if (micros < dayBegin || micros >= dayEnd) {
      LocalDate date =
          Instant.ofEpochSecond(Math.floorDiv(micros, MICROS_PER_SECOND))
              .atZone(zone)
              .toLocalDate();
      dayBegin = midnight(date);
      dayEnd = midnight(date.plusDays(1));
    }
    begin = dayBegin + (micros - dayBegin) / length * length;
    end = Math.min(begin + length, dayEnd);
  }

  private long midnight(LocalDate date) {
    return date.atStartOfDay(zone).toEpochSecond() * MICROS_PER_SECOND;
  }

  /** Where the interval begins, microseconds since 1970. */
  long begin() {
    return begin;
  }

  /** Where it ends and the next one begins. */
  long end() {
    return end;
  }

  /** How long it is, in seconds. */
  double seconds() {
    return (end - begin) / (double) MICROS_PER_SECOND;
  }
}
