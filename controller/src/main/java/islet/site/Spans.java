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
}
