package islet.contract;

/**
 * The controller's answer to a {@link Step} in lockstep, sent behind everything that the scan had
 * to say. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock, which is the step's
 */
public record Scanned(long seq, long at, long step, long messages, long nextMs, String name) {

  /** How it crosses the wire. */
  public static final Layout<Scanned> LAYOUT =
      new Layout<>(
          "Scanned",
          Scanned::take,
          Scanned::make,
          Field.seq(),
          Field.at(),
          Field.whole("step", 0, 1L << 53, "seq of the step that is answered"),
          Field.whole(
              "messages",
              0,
              1L << 53,
              "how many messages the controller has sent since BEGIN, online and scanned not"
                  + " counted"),
          Field.whole("nextMs", 1, 60_000, "simulated time until the next scan, ms"),
          Field.text("name", 64, "whose logic it is, for the verdict"));

  private static void take(Scanned m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.step()).put(m.messages()).put(m.nextMs()).put(m.name());
  }

  private static Scanned make(Values v) {
    return new Scanned(v.whole(), v.whole(), v.whole(), v.whole(), v.whole(), v.text());
  }
}
