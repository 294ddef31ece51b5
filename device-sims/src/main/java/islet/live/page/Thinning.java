package islet.live.page;

import java.util.BitSet;
import java.util.List;

/**
 * Which rows of a trace stay when it has more than can be shown: all that lie near an event, and of
 * the others every so-manieth.
 *
 * @param every of the rows far from events, of how many one stays; 1 when all do
 * @param nearMicros how near an event a row must be to stay in any case, microseconds; the last row
 *     before an event always stays
 * @param kept the rows that stay, by number
 */
record Thinning(int every, long nearMicros, BitSet kept) {

  /** The widest surroundings of an event in which more than half of what may stay has room. */
  private static final List<Long> NEAR_MICROS =
      List.of(60_000_000L, 10_000_000L, 1_000_000L, 100_000L, 0L);

  Thinning(int every, long nearMicros, BitSet kept) {
    this.every = every;
    this.nearMicros = nearMicros;
    this.kept = copy(kept);
  }

  private static BitSet copy(BitSet bits) {
    return BitSet.valueOf(bits.toLongArray());
  }

  @Override
  public BitSet kept() {
    return copy(kept);
  }

  /**
   * Thins a trace.
   *
   * @param rows the instants of its rows, microseconds, in the order of time
   * @param events the instants of the events, likewise
   * @param most so many rows may stay, about; many events can make it some more
   */
  static Thinning of(long[] rows, long[] events, int most) {
    BitSet kept = new BitSet(rows.length);
    if (rows.length <= most) {
      kept.set(0, rows.length);
      return new Thinning(1, 0, kept);
    }
    long near = 0;
    for (long wished : NEAR_MICROS) {
      near = wished;
      kept = near(rows, events, near);
      if (kept.cardinality() <= most / 2) {
        break;
      }
    }
    int spare = Math.max(1, most - kept.cardinality());
    int every = (rows.length + spare - 1) / spare;
    for (int row = 0; row < rows.length; row += every) {
      kept.set(row);
    }
    kept.set(rows.length - 1);
    return new Thinning(every, near, kept);
  }

  /** The rows not farther from an event than so, and the last row before each. */
  private static BitSet near(long[] rows, long[] events, long micros) {
    BitSet near = new BitSet(rows.length);
    int before = 0;
    int first = 0;
    for (long event : events) {
      while (before + 1 < rows.length && rows[before + 1] < event) {
        before++;
      }
      near.set(before);
      while (first < rows.length && rows[first] < event - micros) {
        first++;
      }
      for (int row = first; row < rows.length && rows[row] <= event + micros; row++) {
        near.set(row);
      }
    }
    return near;
  }
}
