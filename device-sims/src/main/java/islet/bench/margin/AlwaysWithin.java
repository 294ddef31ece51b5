package islet.bench.margin;

/** □[a,b] φ: the lowest margin from a to b later. */
public final class AlwaysWithin extends Within {

  /**
   * Always, from a to b later, both included.
   *
   * @param fromMicros a, 0 or more
   * @param toMicros b, a or more
   */
  public AlwaysWithin(Formula part, long fromMicros, long toMicros) {
    super(part, fromMicros, toMicros, -1);
  }
}
