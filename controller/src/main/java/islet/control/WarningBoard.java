package islet.control;

import java.util.Arrays;

/**
 * Warnings that somebody has given, such as of a storm or an announced outage, each under a key of
 * its own and for a time. While one stands the reserve is raised and the utility trusted less.
 */
final class WarningBoard {

  /** A forecast reaches no further: a week (common practice). */
  static final double MOST_S = 7 * 86_400.0;

  private static final int MOST = 8;

  private static final String[] NAMES = new String[MOST];
  private static final String[] ENDS = new String[MOST];

  static {
    for (int i = 0; i < MOST; i++) {
      NAMES[i] = "warning " + (i + 1);
      ENDS[i] = "warning until " + (i + 1);
    }
  }

  private final String[] keys = new String[MOST];
  private final long[] until = new long[MOST];
  private int count;

  WarningBoard() {
    Arrays.fill(keys, "");
  }

  /** A scan begins: a warning whose time is over ends. */
  void begin(long now, Outputs out) {
    for (int i = count - 1; i >= 0; i--) {
      if (now >= until[i]) {
        drop(i, "its time is over", out);
      }
    }
  }

  /**
   * Somebody warns, or warns anew under the same key.
   *
   * @return why not; empty when it stands
   */
  String warn(String key, double forS, long now, Outputs out) {
    if (key.isEmpty()) {
      return "a warning needs a key: what of";
    }
    if (!(forS > 0 && forS <= MOST_S)) {
      return "a warning lasts more than 0 s and at most a week";
    }
    int i = find(key);
    if (i < 0 && count == MOST) {
      return "eight warnings stand already";
    }
    if (i < 0) {
      i = count++;
      keys[i] = key;
      out.event("warning", "", key, "given by a person");
    } else {
      out.event("warning", key, key, "given anew by a person");
    }
    until[i] = now + GridQualification.micros(forS);
    return "";
  }

  /**
   * The danger is over.
   *
   * @param key of which; empty for all
   * @return why not; empty when none stands any more
   */
  String clear(String key, Outputs out) {
    boolean found = false;
    for (int i = count - 1; i >= 0; i--) {
      if (key.isEmpty() || keys[i].equals(key)) {
        drop(i, "taken back by a person", out);
        found = true;
      }
    }
    return found || key.isEmpty() ? "" : "no such warning stands";
  }

  private void drop(int i, String reason, Outputs out) {
    out.event("warning", keys[i], "", reason);
    count--;
    keys[i] = keys[count];
    until[i] = until[count];
    keys[count] = "";
    until[count] = 0;
  }

  private int find(String key) {
    for (int i = 0; i < count; i++) {
      if (keys[i].equals(key)) {
        return i;
      }
    }
    return -1;
  }

  /** Whether one stands. */
  boolean any() {
    return count > 0;
  }

  /** Until when the longest stands, microseconds since 1970; only while one does. */
  long lastUntil() {
    long last = Inputs.NEVER;
    for (int i = 0; i < count; i++) {
      last = Math.max(last, until[i]);
    }
    return last;
  }

  /** A warning outlives a restart. */
  void keep(Keepsake keepsake) {
    int kept = 0;
    for (int i = 0; i < MOST; i++) {
      String key = keepsake.text(NAMES[i], keys[i]);
      long end = keepsake.instant(ENDS[i], until[i]);
      keys[i] = "";
      if (!key.isEmpty()) {
        keys[kept] = key;
        until[kept++] = end;
      }
    }
    count = kept;
  }

  void remember(Memory memory) {
    count = (int) memory.count("warnings", count);
    for (int i = 0; i < MOST; i++) {
      keys[i] = memory.text("warning", keys[i]);
      until[i] = memory.instant("warning until", until[i]);
    }
  }
}
