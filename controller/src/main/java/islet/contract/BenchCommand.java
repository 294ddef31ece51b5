package islet.contract;

/**
 * What a person asks of the bench. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record BenchCommand(long seq, long at, BenchOrder order, double number, String text) {

  private static final BenchOrder[] ORDERS = BenchOrder.values();

  /** How it crosses the wire. */
  public static final Layout<BenchCommand> LAYOUT =
      new Layout<>(
          "BenchCommand",
          BenchCommand::take,
          BenchCommand::make,
          Field.seq(),
          Field.at(),
          Field.word("order", BenchOrder.class, "what is asked"),
          Field.number(
              "number", 3, 0, 1_000_000, "how fast, for SPEED; which fault, for END; 0 otherwise"),
          Field.text(
              "text",
              2048,
              "which scenario, for LOAD; which words, for BOOKMARK; which event, for EVENT; empty"
                  + " otherwise"));

  private static void take(BenchCommand m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.order()).put(m.number()).put(m.text());
  }

  private static BenchCommand make(Values v) {
    return new BenchCommand(v.whole(), v.whole(), v.word(ORDERS), v.number(), v.text());
  }
}
