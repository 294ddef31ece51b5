package islet.live.account;

import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.Arrays;
import java.util.Base64;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.crypto.SecretKeyFactory;
import javax.crypto.spec.PBEKeySpec;

/**
 * A password that can be recognised but not read: PBKDF2 with HMAC-SHA-512 (RFC 8018, 5.2). What
 * has been recognised once is recognised again quickly, since a site's devices all connect at once.
 */
public final class PasswordHash {

  /** So long a look at one guess takes: common advice for this function, from memory. */
  public static final int USUAL_ITERATIONS = 210_000;

  /** For random secrets as long as the hash itself, which nobody can guess. */
  static final int FEWEST_ITERATIONS = 1_000;

  private static final int MOST_ITERATIONS = 10_000_000;
  private static final int SALT_BYTES = 16;
  private static final int HASH_BYTES = 32;

  private static final Pattern FORM =
      Pattern.compile("pbkdf2-sha512:([1-9]\\d{3,7}):([A-Za-z0-9+/]{22}==):([A-Za-z0-9+/]{43}=)");

  private final int iterations;
  private final byte[] salt;
  private final byte[] hash;
  private final AtomicReference<byte[]> recognised = new AtomicReference<>(new byte[0]);

  private PasswordHash(int iterations, byte[] salt, byte[] hash) {
    this.iterations = iterations;
    this.salt = salt;
    this.hash = hash;
  }

  /** The hash of a password with a salt of its own. */
  public static PasswordHash of(byte[] password, int iterations) {
    byte[] salt = new byte[SALT_BYTES];
    new SecureRandom().nextBytes(salt);
    return new PasswordHash(iterations, salt, derive(password, salt, iterations));
  }

  /** Reads what {@link #toString} wrote; empty when it is nothing of the kind. */
  public static Optional<PasswordHash> parse(String text) {
    Matcher found = FORM.matcher(text);
    if (!found.matches()) {
      return Optional.empty();
    }
    int iterations = Integer.parseInt(found.group(1));
    if (iterations < FEWEST_ITERATIONS || iterations > MOST_ITERATIONS) {
      return Optional.empty();
    }
    return Optional.of(
        new PasswordHash(
            iterations,
            Base64.getDecoder().decode(found.group(2)),
            Base64.getDecoder().decode(found.group(3))));
  }

  /** Whether this is the password; takes as long for a wrong one whatever it is. */
  public boolean matches(byte[] password) {
    String text = new String(password, StandardCharsets.UTF_8);
    if (!Arrays.equals(text.getBytes(StandardCharsets.UTF_8), password)) {
      return false; // Not text, so nobody's.
    }
    byte[] mark = mark(password);
    if (MessageDigest.isEqual(mark, recognised.get())) {
      return true;
    }
    boolean same = MessageDigest.isEqual(hash, derive(password, salt, iterations));
    if (same) {
      recognised.set(mark);
    }
    return same;
  }

  /** Kept in memory only, of a password that the memory has held anyway. */
  private byte[] mark(byte[] password) {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      digest.update(salt);
      return digest.digest(password);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }

  private static byte[] derive(byte[] password, byte[] salt, int iterations) {
    // The key specification takes characters and makes UTF-8 of them again.
    char[] characters = new String(password, StandardCharsets.UTF_8).toCharArray();
    PBEKeySpec key = new PBEKeySpec(characters, salt, iterations, HASH_BYTES * Byte.SIZE);
    try {
      return SecretKeyFactory.getInstance("PBKDF2WithHmacSHA512").generateSecret(key).getEncoded();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("every Java has PBKDF2WithHmacSHA512", e);
    } finally {
      key.clearPassword();
    }
  }

  @Override
  public String toString() {
    Base64.Encoder base64 = Base64.getEncoder();
    return "pbkdf2-sha512:"
        + iterations
        + ":"
        + base64.encodeToString(salt)
        + ":"
        + base64.encodeToString(hash);
  }
}
