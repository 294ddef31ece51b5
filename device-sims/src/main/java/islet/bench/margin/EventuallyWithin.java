package islet.bench.margin;

/** ◇[a,b] φ: the highest margin from a to b later. */
public final class EventuallyWithin extends Within {

  /**
   * At some instant from a to b later, both included.
   *
   * @param fromMicros a, 0 or more
   * @param toMicros b, a or more
   */
  public EventuallyWithin(Formula part, long fromMicros, long toMicros) {
    super(part, fromMicros, toMicros, 1);
  }
}
