package islet.site;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/** Guesses what a misspelt word was meant to be. */
public final class Spelling {
  private Spelling() {}

  /**
   * The nearest of the known words, if one is near: at most a third of its letters (at least one)
   * changed, added, left out or swapped with their neighbour.
   */
  public static Optional<String> nearest(String word, Collection<String> known) {
    String best = "";
    int least = Integer.MAX_VALUE;
    for (String candidate : known) {
      int distance = distance(word.toLowerCase(Locale.ROOT), candidate.toLowerCase(Locale.ROOT));
      if (distance <= Math.max(1, candidate.length() / 3) && distance < least) {
        least = distance;
        best = candidate;
      }
    }
    return best.isEmpty() ? Optional.empty() : Optional.of(best);
  }

  /** A question to add to a message: {@code Did you mean "float"?}; empty when nothing is near. */
  public static String question(String word, Collection<String> known) {
    return nearest(word, known).map(w -> "Did you mean \"" + w + "\"?").orElse("");
  }

  /** Optimal string alignment: single edits and swaps of neighbours. */
  private static int distance(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      d[i][0] = i;
    }
    for (int j = 0; j <= b.length(); j++) {
      d[0][j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      for (int j = 1; j <= b.length(); j++) {
        int change = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        d[i][j] = Math.min(Math.min(d[i - 1][j] + 1, d[i][j - 1] + 1), d[i - 1][j - 1] + change);
        boolean swapped =
            i > 1
                && j > 1
                && a.charAt(i - 1) == b.charAt(j - 2)
                && a.charAt(i - 2) == b.charAt(j - 1);
        if (swapped) {
          d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.length()][b.length()];
  }
}
