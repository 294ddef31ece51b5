package islet.site;

import java.util.BitSet;

/** Spans of the day as sets of minutes. */
final class Spans {
  static final int MINUTES_PER_DAY = 1440;

  private Spans() {}

  /** The minutes of the day that a span holds. */
  static BitSet minutes(Site.MinuteSpan span) {
    BitSet minutes = new BitSet(MINUTES_PER_DAY);
    if (span.from() < span.to()) {
      minutes.set(span.from(), span.to());
    } else {
      minutes.set(span.from(), MINUTES_PER_DAY);
      minutes.set(0, span.to());
    }
    return minutes;
  }

  /** Whether a span holds a minute of the day, its end excluded; it may pass midnight. */
  static boolean holds(Site.MinuteSpan span, int minute) {
    return span.from() < span.to()
        ? minute >= span.from() && minute < span.to()
        : minute >= span.from() || minute < span.to();
  }

  /** A minute of the day as {@code 06:00}. */
  static String text(int minute) {
    return (minute < 600 ? "0" : "") + minute / 60 + (minute % 60 < 10 ? ":0" : ":") + minute % 60;
  }
}
