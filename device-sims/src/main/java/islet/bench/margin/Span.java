package islet.bench.margin;

/** The times of a temporal operator. */
final class Span {

  private Span() {}

  static void check(long fromMicros, long toMicros) {
    if (fromMicros < 0 || toMicros < fromMicros) {
      throw new IllegalArgumentException(
          "the window of a monitor is "
              + fromMicros
              + " to "
              + toMicros
              + " µs; allowed is 0 or more, and the end not before the beginning");
    }
  }
}
