package islet.plant;

import java.time.Instant;
import java.time.ZoneId;
import java.time.zone.ZoneOffsetTransition;
import java.util.List;

/**
 * A load that people or a timer by the clock on the wall switch at the same civil times every day,
 * so that it moves with daylight saving.
 *
 * @param watts while on, at nominal voltage
 * @param zone whose civil time the clock on the wall shows
 * @param spans when it is on, each within one day
 */
public record DailyLoad(double watts, ZoneId zone, List<Span> spans) implements LoadProfile {

  /**
   * One time on.
   *
   * @param fromH hours after midnight, 0 to 24
   * @param toH later than that, to 24
   */
  public record Span(double fromH, double toH) {
    /** Checks the range. */
    public Span {
      Require.that(
          fromH >= 0 && toH <= 24 && fromH < toH,
          "A load is on from "
              + fromH
              + " h to "
              + toH
              + " h; the times must lie between 0 and 24 h and the second after the first (a span"
              + " over midnight is written as two).");
    }
  }

  /** Checks the range. */
  public DailyLoad {
    Require.notNegative(watts, "A daily load in W");
    spans = List.copyOf(spans);
  }

  @Override
  public double powerW(long epochMicros) {
    long ofDay = microsOfDay(epochMicros);
    for (int i = 0; i < spans.size(); i++) {
      Span span = spans.get(i);
      if (ofDay >= micros(span.fromH) && ofDay < micros(span.toH)) {
        return watts;
      }
    }
    return 0;
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    long ofDay = microsOfDay(epochMicros);
    long wait = Long.MAX_VALUE;
    for (int i = 0; i < spans.size(); i++) {
      Span span = spans.get(i);
      wait = Math.min(wait, waitFor(micros(span.fromH), ofDay));
      wait = Math.min(wait, waitFor(micros(span.toH), ofDay));
    }
    if (wait == Long.MAX_VALUE) {
      return wait;
    }
    // At a change of the clocks the time of day jumps, and with it whether a span holds.
    ZoneOffsetTransition clocks = zone.getRules().nextTransition(instant(epochMicros));
    long change = clocks == null ? Long.MAX_VALUE : clocks.toEpochSecond() * StandardTime.SECOND;
    return Math.min(epochMicros + wait, change);
  }

  private long microsOfDay(long epochMicros) {
    long offset = zone.getRules().getOffset(instant(epochMicros)).getTotalSeconds();
    return Math.floorMod(epochMicros + offset * StandardTime.SECOND, StandardTime.DAY);
  }

  private static Instant instant(long epochMicros) {
    return Instant.ofEpochSecond(
        Math.floorDiv(epochMicros, StandardTime.SECOND),
        Math.floorMod(epochMicros, StandardTime.SECOND) * 1000);
  }

  private static long waitFor(long timeOfDay, long now) {
    long wait = Math.floorMod(timeOfDay - now, StandardTime.DAY);
    return wait == 0 ? StandardTime.DAY : wait;
  }

  private static long micros(double hours) {
    return Math.round(hours * StandardTime.HOUR);
  }
}
