package islet.bench.guided;

import java.util.Locale;
import java.util.Optional;

/** What a person says of a step. */
public enum Verdict {
  PASS,
  FAIL,
  /** Not done, for a reason; the point stays open. */
  SKIP;

  /** As files and people write it. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** The verdict of a word or of its first letter, in any case. */
  public static Optional<Verdict> of(String word) {
    String small = word.toLowerCase(Locale.ROOT);
    for (Verdict verdict : values()) {
      if (verdict.word().equals(small) || verdict.word().substring(0, 1).equals(small)) {
        return Optional.of(verdict);
      }
    }
    return Optional.empty();
  }
}
