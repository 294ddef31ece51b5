package islet.app;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.Properties;

/** What tells one running controller from another. */
final class Instance {

  private static final int NAME_BYTES = 4;

  private Instance() {}

  /** A name that no other instance has, by chance. */
  static String name() {
    byte[] bytes = new byte[NAME_BYTES];
    new SecureRandom().nextBytes(bytes);
    return "controller-" + HexFormat.of().formatHex(bytes);
  }

  /** The version as the build wrote it down. */
  static String version() throws IOException {
    Properties properties = new Properties();
    try (InputStream in = Instance.class.getResourceAsStream("version.properties")) {
      if (in != null) {
        properties.load(in);
      }
    }
    return properties.getProperty("version", "unknown");
  }

  /** The SHA-256 of a file (FIPS 180-4), as hexadecimal text. */
  static String digest(Path file) throws IOException {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      return HexFormat.of().formatHex(digest.digest(Files.readAllBytes(file)));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
