package islet.control;

import java.util.Arrays;

/**
 * Maintenance holds: somebody's padlock on the tie. While one hangs, nothing closes; only its own
 * key takes it off.
 */
final class HoldBoard {

  /**
   * As many padlocks as a lock-out hasp carries (common practice: six; two more for luck with
   * visitors).
   */
  static final int MOST = 8;

  /** Under which names the keys outlive a restart. */
  private static final String[] NAMES = {
    "hold 1", "hold 2", "hold 3", "hold 4", "hold 5", "hold 6", "hold 7", "hold 8"
  };

  private final String[] keys = new String[MOST];
  private int count;

  HoldBoard() {
    Arrays.fill(keys, "");
  }

  boolean any() {
    return count > 0;
  }

  int count() {
    return count;
  }

  /** The key of a hold, from 0 to below {@link #count}. */
  String key(int hold) {
    return keys[hold];
  }

  /** Places a hold; false when the key is empty, hangs already or there is no room. */
  boolean place(String key) {
    if (key.isEmpty() || count == MOST || find(key) >= 0) {
      return false;
    }
    keys[count++] = key;
    return true;
  }

  /** Takes a hold off; false when no such key hangs. */
  boolean release(String key) {
    int i = find(key);
    if (i < 0) {
      return false;
    }
    count--;
    keys[i] = keys[count];
    keys[count] = "";
    return true;
  }

  /** A padlock hangs however often the process behind it is started. */
  void keep(Keepsake keepsake) {
    int kept = 0;
    for (int i = 0; i < MOST; i++) {
      String key = keepsake.text(NAMES[i], keys[i]);
      keys[i] = "";
      if (!key.isEmpty()) {
        keys[kept++] = key;
      }
    }
    count = kept;
  }

  void remember(Memory memory) {
    count = (int) memory.count("holds", count);
    for (int i = 0; i < MOST; i++) {
      keys[i] = memory.text("hold", keys[i]);
    }
  }

  private int find(String key) {
    for (int i = 0; i < count; i++) {
      if (keys[i].equals(key)) {
        return i;
      }
    }
    return -1;
  }
}
