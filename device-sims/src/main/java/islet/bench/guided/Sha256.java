package islet.bench.guided;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/**
 * The digest of FIPS PUB 180-4, in lower-case hexadecimal digits as {@code sha256sum} prints it.
 */
public final class Sha256 {

  private Sha256() {}

  /** The digest of bytes. */
  public static String of(byte[] bytes) {
    try {
      return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("Every Java platform must offer SHA-256.", e);
    }
  }

  /** The digest of a text in UTF-8. */
  public static String of(String text) {
    return of(text.getBytes(StandardCharsets.UTF_8));
  }
}
