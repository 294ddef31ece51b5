package islet.contract;

/**
 * The bench's call in lockstep: simulated time stands still until it is answered by {@link
 * Scanned}. The layout states each field's unit and range.
 *
 * @param at the simulated instant, microseconds since 1970: the controller's clock
 */
public record Step(long seq, long at, StepCall call, long messages) {

  private static final StepCall[] CALLS = StepCall.values();

  /** How it crosses the wire. */
  public static final Layout<Step> LAYOUT =
      new Layout<>(
          "Step",
          Step::take,
          Step::make,
          Field.seq(),
          Field.at(),
          Field.word("call", StepCall.class, "what is asked"),
          Field.whole(
              "messages",
              0,
              1L << 53,
              "how many messages the bench has sent to the controller since BEGIN; scan when all of"
                  + " them are there"));

  private static void take(Step m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.call()).put(m.messages());
  }

  private static Step make(Values v) {
    return new Step(v.whole(), v.whole(), v.word(CALLS), v.whole());
  }
}
