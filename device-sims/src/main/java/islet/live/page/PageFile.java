package islet.live.page;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/**
 * What is answered to a request.
 *
 * @param content its bytes; nobody changes them
 * @param type its media type
 */
@SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
record PageFile(byte[] content, String type) {

  static final String JSON = "application/json; charset=utf-8";

  private static final int TAG_BYTES = 16;

  /** A strong entity tag (RFC 9110, 8.8.3): two contents with one tag are the same bytes. */
  String tag() {
    try {
      byte[] hash = MessageDigest.getInstance("SHA-256").digest(content);
      return "\"" + HexFormat.of().formatHex(hash, 0, TAG_BYTES) + "\"";
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
