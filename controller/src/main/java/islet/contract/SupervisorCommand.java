package islet.contract;

/**
 * What an operator asks of the supervisor. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record SupervisorCommand(
    long seq, long at, double lifetimeS, OperatorOrder order, String key, double forS) {

  private static final OperatorOrder[] ORDERS = OperatorOrder.values();

  /** How it crosses the wire. */
  public static final Layout<SupervisorCommand> LAYOUT =
      new Layout<>(
          "SupervisorCommand",
          SupervisorCommand::take,
          SupervisorCommand::make,
          Field.seq(),
          Field.at(),
          Field.number("lifetimeS", 3, 0, 3600, "how long the order is good for, from at"),
          Field.word("order", OperatorOrder.class, "what is asked"),
          Field.text("key", 64, "whose hold, or which alarm; empty otherwise"),
          Field.number(
              "forS", 3, 0, 604800, "how long what is asked shall last; 0 for no end of its own"));

  private static void take(SupervisorCommand m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.lifetimeS()).put(m.order()).put(m.key()).put(m.forS());
  }

  private static SupervisorCommand make(Values v) {
    return new SupervisorCommand(
        v.whole(), v.whole(), v.number(), v.word(ORDERS), v.text(), v.number());
  }
}
