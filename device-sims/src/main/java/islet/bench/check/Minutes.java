package islet.bench.check;

import islet.site.Site;

/** Minutes of the day. */
final class Minutes {

  static final int A_DAY = 1440;

  private Minutes() {}

  /** Whether a span holds a minute, its end excluded; it may pass midnight. */
  static boolean holds(Site.MinuteSpan span, int minute) {
    return span.from() < span.to()
        ? minute >= span.from() && minute < span.to()
        : minute >= span.from() || minute < span.to();
  }

  /** How long a span is. */
  static int length(Site.MinuteSpan span) {
    int length = span.to() - span.from();
    return length > 0 ? length : length + A_DAY;
  }
}
