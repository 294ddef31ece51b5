package islet.contract;

/**
 * What the tie switch shall do. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record TieCommand(long seq, long at, double lifetimeS, TieOrder order, String key) {

  private static final TieOrder[] ORDERS = TieOrder.values();

  /** How it crosses the wire. */
  public static final Layout<TieCommand> LAYOUT =
      new Layout<>(
          "TieCommand",
          TieCommand::take,
          TieCommand::make,
          Field.seq(),
          Field.at(),
          Field.number("lifetimeS", 3, 0, 3600, "how long the order is good for, from at"),
          Field.word("order", TieOrder.class, "what to do"),
          Field.text("key", 64, "whose hold is placed or released; empty otherwise"));

  private static void take(TieCommand m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.lifetimeS()).put(m.order()).put(m.key());
  }

  private static TieCommand make(Values v) {
    return new TieCommand(v.whole(), v.whole(), v.number(), v.word(ORDERS), v.text());
  }
}
