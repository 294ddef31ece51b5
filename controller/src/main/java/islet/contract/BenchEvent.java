package islet.contract;

/**
 * A line of the bench's sequence of events. The layout states each field's unit and range.
 *
 * @param at site time, microseconds since 1970
 */
public record BenchEvent(
    long seq, long at, String source, String kind, String from, String to, String reason) {

  /** How it crosses the wire. */
  public static final Layout<BenchEvent> LAYOUT =
      new Layout<>(
          "BenchEvent",
          BenchEvent::take,
          BenchEvent::make,
          Field.seq(),
          Field.at(),
          Field.text("source", 64, "who or what: a device, the utility, an operator, the bench"),
          Field.text("kind", 64, "what kind of thing, such as contact, fault, mode"),
          Field.text("from", 128, "what was before"),
          Field.text("to", 128, "what is now"),
          Field.text("reason", 512, "why"));

  private static void take(BenchEvent m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.source())
        .put(m.kind())
        .put(m.from())
        .put(m.to())
        .put(m.reason());
  }

  private static BenchEvent make(Values v) {
    return new BenchEvent(v.whole(), v.whole(), v.text(), v.text(), v.text(), v.text(), v.text());
  }
}
