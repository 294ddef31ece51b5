package islet.plant;

import java.util.List;

/**
 * A load that a person or a timer switches at the same local standard times every day.
 *
 * @param watts while on, at nominal voltage
 * @param utcOffsetH local standard time against universal time, h (−6 for US Central)
 * @param spans when it is on, each within one day
 */
public record DailyLoad(double watts, double utcOffsetH, List<Span> spans) implements LoadProfile {

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
    Require.within(utcOffsetH, -14, 14, "A daily load's offset from universal time in hours");
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
    return wait == Long.MAX_VALUE ? wait : epochMicros + wait;
  }

  private long microsOfDay(long epochMicros) {
    return Math.floorMod(
        epochMicros + Math.round(utcOffsetH * 60) * StandardTime.MINUTE, StandardTime.DAY);
  }

  private static long waitFor(long timeOfDay, long now) {
    long wait = Math.floorMod(timeOfDay - now, StandardTime.DAY);
    return wait == 0 ? StandardTime.DAY : wait;
  }

  private static long micros(double hours) {
    return Math.round(hours * StandardTime.HOUR);
  }
}
