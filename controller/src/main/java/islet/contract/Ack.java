package islet.contract;

/**
 * The answer to a command; also carries its correlation data. The layout states each field's unit
 * and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record Ack(long seq, long at, long command, AckResult result, String reason) {

  private static final AckResult[] RESULTS = AckResult.values();

  /** How it crosses the wire. */
  public static final Layout<Ack> LAYOUT =
      new Layout<>(
          "Ack",
          Ack::take,
          Ack::make,
          Field.seq(),
          Field.at(),
          Field.whole("command", 0, 1L << 53, "seq of the command"),
          Field.word("result", AckResult.class, "what became of it"),
          Field.text("reason", 256, "why it was refused; empty otherwise"));

  private static void take(Ack m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.command()).put(m.result()).put(m.reason());
  }

  private static Ack make(Values v) {
    return new Ack(v.whole(), v.whole(), v.whole(), v.word(RESULTS), v.text());
  }
}
