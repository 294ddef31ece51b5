package islet.device;

import java.nio.charset.StandardCharsets;

/**
 * A number that is none, in a message. The contract's own writer refuses to write one, as a sender
 * must; a faulty firmware has no such scruple. So a number that no meter ever tells is written in
 * its place, and replaced in the finished text.
 */
final class NonFinite {

  /** Stands in for it; beyond every range of the contract, and exact with up to three decimals. */
  static final double MARK = 8_888_888_888_888.0;

  private static final String WRITTEN = "8888888888888";

  private NonFinite() {}

  /** The text with every mark replaced by what a common C library prints for such a number. */
  static byte[] into(byte[] json) {
    String text = new String(json, StandardCharsets.UTF_8);
    return text.replace(WRITTEN, "nan").getBytes(StandardCharsets.UTF_8);
  }
}
