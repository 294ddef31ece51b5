package islet.control;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** States in the order of their coming, each found again by its code. */
final class StateStore {

  private static final int FREE = -1;

  private final List<byte[]> codes = new ArrayList<>();
  private int[] table = new int[1 << 12];

  StateStore() {
    Arrays.fill(table, FREE);
  }

  int size() {
    return codes.size();
  }

  byte[] get(int place) {
    return codes.get(place);
  }

  /** The place of a state, or -1 for one that has not come yet. */
  int find(byte[] code) {
    return table[slot(code)];
  }

  /** Files a state that has not come yet. */
  int add(byte[] code) {
    if (2 * codes.size() >= table.length) {
      grow();
    }
    int place = codes.size();
    codes.add(code.clone());
    table[slot(code)] = place;
    return place;
  }

  private int slot(byte[] code) {
    int mask = table.length - 1;
    int hash = Arrays.hashCode(code);
    int slot = (hash ^ hash >>> 15) & mask;
    while (table[slot] != FREE && !Arrays.equals(codes.get(table[slot]), code)) {
      slot = slot + 1 & mask;
    }
    return slot;
  }

  private void grow() {
    table = new int[2 * table.length];
    Arrays.fill(table, FREE);
    for (int i = 0; i < codes.size(); i++) {
      table[slot(codes.get(i))] = i;
    }
  }
}
