package islet.bench;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRules;

/**
 * Instants as civil time at the site, {@code 2026-01-14T15:00:00.000-06:00}: with the offset, so
 * that the hour that comes twice in autumn is told apart. Instants should come in order; date and
 * offset are kept while they last.
 */
final class LocalTimeText {

  private static final long MICROS_PER_DAY = 86_400_000_000L;

  private final ZoneRules rules;
  private long offsetFrom = Long.MAX_VALUE;
  private long offsetUntil = Long.MIN_VALUE;
  private long offsetMicros;
  private byte[] offsetText = {};
  private long day = Long.MIN_VALUE;
  private byte[] dayText = {};

  LocalTimeText(ZoneId zone) {
    rules = zone.getRules();
  }

  void write(long micros, Bytes out) {
    if (micros < offsetFrom || micros >= offsetUntil) {
      findOffset(micros);
    }
    long local = micros + offsetMicros;
    long thisDay = Math.floorDiv(local, MICROS_PER_DAY);
    if (thisDay != day) {
      day = thisDay;
      dayText = ascii(LocalDate.ofEpochDay(thisDay) + "T");
    }
    long milli = Math.floorMod(local, MICROS_PER_DAY) / 1000;
    out.put(dayText)
        .digits(milli / 3_600_000, 2)
        .put(':')
        .digits(milli / 60_000 % 60, 2)
        .put(':')
        .digits(milli / 1000 % 60, 2)
        .put('.')
        .digits(milli % 1000, 3)
        .put(offsetText);
  }

  private void findOffset(long micros) {
    Instant instant = Instant.ofEpochSecond(Math.floorDiv(micros, 1_000_000L));
    ZoneOffset offset = rules.getOffset(instant);
    ZoneOffsetTransition next = rules.nextTransition(instant);
    offsetFrom = micros;
    offsetUntil = next == null ? Long.MAX_VALUE : next.toEpochSecond() * 1_000_000L;
    offsetMicros = offset.getTotalSeconds() * 1_000_000L;
    offsetText = ascii(offset.getTotalSeconds() == 0 ? "+00:00" : offset.getId());
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
