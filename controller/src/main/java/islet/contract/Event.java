package islet.contract;

/**
 * Something that happened. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record Event(long seq, long at, String kind, String from, String to, String reason) {

  /** How it crosses the wire. */
  public static final Layout<Event> LAYOUT =
      new Layout<>(
          "Event",
          Event::take,
          Event::make,
          Field.seq(),
          Field.at(),
          Field.text("kind", 64, "what kind of thing, such as mode"),
          Field.text("from", 64, "what was before"),
          Field.text("to", 64, "what is now"),
          Field.text("reason", 256, "why"));

  private static void take(Event m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.kind()).put(m.from()).put(m.to()).put(m.reason());
  }

  private static Event make(Values v) {
    return new Event(v.whole(), v.whole(), v.text(), v.text(), v.text(), v.text());
  }
}
