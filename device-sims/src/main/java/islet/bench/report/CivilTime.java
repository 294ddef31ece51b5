package islet.bench.report;

import islet.bench.RunRecord;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;

/**
 * Instants in the site's civil time. Names of months are given here, since a locale's names change
 * from one JDK to the next.
 */
final class CivilTime {

  private static final String[] MONTHS = {
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"
  };

  private final ZoneId zone;
  private final boolean dated;
  private final boolean withOffset;

  /** For a run between two instants, microseconds since 1970. */
  CivilTime(ZoneId zone, long fromMicros, long toMicros) {
    this.zone = zone;
    ZonedDateTime from = at(fromMicros);
    ZonedDateTime to = at(toMicros);
    dated = !from.toLocalDate().equals(to.toLocalDate());
    // A clock that is set back shows the same hour twice, so the offset has to tell which.
    withOffset = zone.getRules().nextTransition(from.toInstant()) != null && changes(from, to);
  }

  private boolean changes(ZonedDateTime from, ZonedDateTime to) {
    return !zone.getRules().nextTransition(from.toInstant()).getInstant().isAfter(to.toInstant());
  }

  /** The instant of so many seconds from the start of a run, microseconds since 1970. */
  static long instant(RunRecord run, double seconds) {
    return run.startMicros() + Math.round(seconds * 1e6);
  }

  /** The end of a run, microseconds since 1970. */
  static long end(RunRecord run) {
    return instant(run, run.result().simulatedSeconds());
  }

  /** Where the site stands. */
  ZoneId zone() {
    return zone;
  }

  ZonedDateTime at(long micros) {
    return Instant.ofEpochSecond(
            Math.floorDiv(micros, 1_000_000L), Math.floorMod(micros, 1_000_000L) * 1000L)
        .atZone(zone);
  }

  /** Time of day to the millisecond, with the date when the run sees more than one. */
  String stamp(long micros) {
    ZonedDateTime time = at(micros);
    StringBuilder out = new StringBuilder();
    if (dated) {
      out.append(day(time.toLocalDate())).append(' ');
    }
    two(out, time.getHour()).append(':');
    two(out, time.getMinute()).append(':');
    two(out, time.getSecond()).append('.');
    int milli = time.getNano() / 1_000_000;
    out.append((char) ('0' + milli / 100));
    two(out, milli % 100);
    if (withOffset) {
      offset(out.append(' '), time.getOffset());
    }
    return out.toString();
  }

  /** Date, time to the minute and offset: for the head of the page. */
  String full(long micros) {
    ZonedDateTime time = at(micros);
    StringBuilder out = new StringBuilder(day(time.toLocalDate()));
    out.append(' ').append(time.getYear()).append(", ").append(minute(time.toLocalDateTime()));
    offset(out.append(" ("), time.getOffset());
    return out.append(')').toString();
  }

  static String day(LocalDate date) {
    return date.getDayOfMonth() + "\u00a0" + month(date);
  }

  static String month(LocalDate date) {
    return MONTHS[date.getMonthValue() - 1];
  }

  static String minute(LocalDateTime time) {
    StringBuilder out = new StringBuilder();
    two(out, time.getHour()).append(':');
    return two(out, time.getMinute()).toString();
  }

  static String second(LocalDateTime time) {
    StringBuilder out = new StringBuilder(minute(time)).append(':');
    return two(out, time.getSecond()).toString();
  }

  /** Minutes after midnight as a time of day. */
  static String ofDay(int minutes) {
    StringBuilder out = new StringBuilder();
    two(out, minutes / 60).append(':');
    return two(out, minutes % 60).toString();
  }

  private static void offset(StringBuilder out, ZoneOffset offset) {
    int minutes = offset.getTotalSeconds() / 60;
    out.append("UTC").append(minutes < 0 ? '−' : '+').append(Math.abs(minutes) / 60);
    if (minutes % 60 != 0) {
      two(out.append(':'), Math.abs(minutes) % 60);
    }
  }

  private static StringBuilder two(StringBuilder out, int value) {
    return out.append((char) ('0' + value / 10)).append((char) ('0' + value % 10));
  }
}
