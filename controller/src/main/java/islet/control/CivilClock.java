package islet.control;

import islet.site.Site.MinuteSpan;
import java.time.Instant;
import java.time.ZoneId;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRules;

/**
 * Local time of day at the site. The zone's offset is looked up only when it may have changed, so
 * that a scan allocates nothing; the two daylight-saving days of a year are ordinary days.
 */
public final class CivilClock {

  private static final long MICROS_PER_DAY = 86_400_000_000L;

  private final ZoneRules rules;
  private long validFrom = Long.MAX_VALUE;
  private long validTo = Long.MIN_VALUE;
  private long offsetMicros;

  /** Local time in this zone. */
  public CivilClock(ZoneId zone) {
    this.rules = zone.getRules();
  }

  /** Minutes since local midnight, 0 to 1439, at an instant in microseconds since 1970. */
  public int minuteOfDay(long micros) {
    return (int) (Math.floorMod(micros + offset(micros), MICROS_PER_DAY) / 60_000_000L);
  }

  /** Local date, as days since 1970-01-01, at an instant in microseconds since 1970. */
  public long day(long micros) {
    return Math.floorDiv(micros + offset(micros), MICROS_PER_DAY);
  }

  /** The offset of local time from UTC in microseconds, east positive. */
  public long offset(long micros) {
    if (micros < validFrom || micros >= validTo) {
      lookUp(micros);
    }
    return offsetMicros;
  }

  private void lookUp(long micros) {
    // Offsets change on whole seconds.
    Instant instant = Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L));
    offsetMicros = rules.getOffset(instant).getTotalSeconds() * 1_000_000L;
    ZoneOffsetTransition before = rules.previousTransition(instant.plusNanos(1));
    ZoneOffsetTransition after = rules.nextTransition(instant);
    validFrom = before == null ? Long.MIN_VALUE : before.toEpochSecond() * 1_000_000L;
    validTo = after == null ? Long.MAX_VALUE : after.toEpochSecond() * 1_000_000L;
  }

  /** Whether a minute of the day lies in a span, the end excluded; a span may pass midnight. */
  public static boolean within(MinuteSpan span, int minute) {
    return span.from() <= span.to()
        ? minute >= span.from() && minute < span.to()
        : minute >= span.from() || minute < span.to();
  }
}
