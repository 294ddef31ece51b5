package islet.control;

import islet.contract.Forced;
import java.util.Arrays;

/**
 * What a person has forced, and until when. Each override ends by itself; it is told while it
 * stands, and it never gets past an interlock.
 */
final class OverrideBoard {

  /**
   * The longest that one may last: a day (common practice), so that nobody forgets one for good.
   */
  static final double MOST_S = 86_400;

  private static final Forced[] WORDS = Forced.values();
  private static final String[] NAMES = names();

  /** Every combination in words, so that a scan only picks one. */
  private static final String[] TEXTS = texts();

  private final long[] until = new long[WORDS.length];
  private int standing;

  private static String[] names() {
    String[] names = new String[WORDS.length];
    for (int i = 0; i < WORDS.length; i++) {
      names[i] = "override " + WORDS[i].name();
    }
    return names;
  }

  private static String[] texts() {
    String[] texts = new String[1 << WORDS.length];
    for (int set = 0; set < texts.length; set++) {
      StringBuilder text = new StringBuilder();
      for (int i = 0; i < WORDS.length; i++) {
        if ((set & 1 << i) != 0) {
          text.append(text.isEmpty() ? "" : ",").append(WORDS[i].name());
        }
      }
      texts[set] = text.toString();
    }
    return texts;
  }

  OverrideBoard() {
    Arrays.fill(until, Inputs.NEVER);
  }

  /** A scan begins: what has lasted its time ends. */
  void begin(long now, Outputs out) {
    for (int i = 0; i < WORDS.length; i++) {
      if (has(i) && now >= until[i]) {
        drop(i, "its time is over", out);
      }
    }
  }

  /**
   * Forces something for a time; an override that stands already gets the new time.
   *
   * @return why not; empty when it stands
   */
  String force(String word, double forS, long now, Outputs out) {
    int i = find(word);
    if (i < 0) {
      return "there is no such override";
    }
    if (!(forS > 0 && forS <= MOST_S)) {
      return "an override lasts more than 0 s and at most 24 h";
    }
    Forced forced = WORDS[i];
    if ((forced == Forced.CHARGE_NOW && stands(Forced.CHARGE_OFF))
        || (forced == Forced.CHARGE_OFF && stands(Forced.CHARGE_NOW))) {
      return "the opposite is forced; end that first";
    }
    if (!has(i)) {
      out.event("override", "", forced.name(), "forced by a person");
    }
    standing |= 1 << i;
    until[i] = now + GridQualification.micros(forS);
    return "";
  }

  /**
   * Ends an override before its time, or all of them with an empty word.
   *
   * @return why not; empty when it is done
   */
  String end(String word, Outputs out) {
    int i = find(word);
    if (!word.isEmpty() && (i < 0 || !has(i))) {
      return "no such override stands";
    }
    for (int each = 0; each < WORDS.length; each++) {
      if (has(each) && (word.isEmpty() || each == i)) {
        drop(each, "ended by a person", out);
      }
    }
    return "";
  }

  private void drop(int i, String reason, Outputs out) {
    standing &= ~(1 << i);
    until[i] = Inputs.NEVER;
    out.event("override", WORDS[i].name(), "", reason);
  }

  boolean any() {
    return standing != 0;
  }

  boolean stands(Forced forced) {
    return has(forced.ordinal());
  }

  /** What stands, in words with commas between them. */
  String text() {
    return TEXTS[standing];
  }

  private boolean has(int i) {
    return (standing & 1 << i) != 0;
  }

  private static int find(String word) {
    for (int i = 0; i < WORDS.length; i++) {
      if (WORDS[i].name().equals(word)) {
        return i;
      }
    }
    return -1;
  }

  /** An override lasts its time over a restart too; else a restart would silently end it. */
  void keep(Keepsake keepsake) {
    for (int i = 0; i < WORDS.length; i++) {
      until[i] = keepsake.count(NAMES[i], until[i]);
      if (until[i] == Inputs.NEVER) {
        standing &= ~(1 << i);
      } else {
        standing |= 1 << i;
      }
    }
  }

  void remember(Memory memory) {
    standing = (int) memory.count("overrides", standing);
    for (int i = 0; i < WORDS.length; i++) {
      until[i] = memory.instant("override until", until[i]);
    }
  }
}
