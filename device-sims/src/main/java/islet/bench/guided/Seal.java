package islet.bench.guided;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The digest at the foot of a record: the last two lines of the file are the field {@code sha256}
 * and the closing brace, and the digest stands for every byte before them.
 */
public final class Seal {

  /** What a file says of itself. */
  public enum State {
    SEALED,
    /** The digest is not that of what stands before it. */
    CHANGED,
    /** No digest where one should stand. */
    MISSING
  }

  private static final int DIGITS = 64;
  private static final String BEFORE = "  \"sha256\" : \"";
  private static final String AFTER = "\"\n}\n";
  private static final Pattern HEX = Pattern.compile("[0-9a-f]{" + DIGITS + "}");
  private static final int LENGTH = BEFORE.length() + DIGITS + AFTER.length();

  private Seal() {}

  /**
   * Puts a seal on a JSON object with at least one field.
   *
   * @param object as it was printed, ending with its closing brace on a line of its own
   */
  static byte[] put(byte[] object) {
    String text = new String(object, StandardCharsets.UTF_8);
    if (!text.endsWith("\n}")) {
      throw new IllegalArgumentException(
          "The object to seal must end with its brace on a line of its own.");
    }
    String content = text.substring(0, text.length() - 2) + ",\n";
    return (content + BEFORE + Sha256.of(content) + AFTER).getBytes(StandardCharsets.UTF_8);
  }

  /** Whether a file is as it was sealed. */
  public static State of(byte[] file) {
    String digest = digest(file);
    if (digest.isEmpty()) {
      return State.MISSING;
    }
    String now = Sha256.of(Arrays.copyOf(file, file.length - LENGTH));
    return now.equals(digest) ? State.SEALED : State.CHANGED;
  }

  /** The digest that stands in a file; empty when there is none at its foot. */
  public static String digest(byte[] file) {
    if (file.length < LENGTH) {
      return "";
    }
    String foot = new String(file, file.length - LENGTH, LENGTH, StandardCharsets.ISO_8859_1);
    Matcher hex = HEX.matcher(foot).region(BEFORE.length(), BEFORE.length() + DIGITS);
    boolean whole = foot.startsWith(BEFORE) && foot.endsWith(AFTER) && hex.matches();
    return whole ? hex.group() : "";
  }
}
