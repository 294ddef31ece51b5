package islet.bench;

import java.time.Duration;

/** Microseconds as text. */
final class Micros {
  private Micros() {}

  /** An ISO 8601 duration, such as {@code PT2H30M}. */
  static String iso(long micros) {
    return Duration.ofSeconds(micros / 1_000_000, micros % 1_000_000 * 1000).toString();
  }
}
