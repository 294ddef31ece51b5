package islet.contract;

/**
 * What a charger of its own shall do. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record ChargerCommand(
    long seq,
    long at,
    double lifetimeS,
    boolean enabled,
    ChargeStage stage,
    double voltageSetV,
    double currentLimitA) {

  private static final ChargeStage[] STAGES = ChargeStage.values();

  /** How it crosses the wire. */
  public static final Layout<ChargerCommand> LAYOUT =
      new Layout<>(
          "ChargerCommand",
          ChargerCommand::take,
          ChargerCommand::make,
          Field.seq(),
          Field.at(),
          Field.number("lifetimeS", 3, 0, 3600, "how long the order is good for, from at"),
          Field.flag("enabled", "whether it may charge"),
          Field.word("stage", ChargeStage.class, "the charge stage, for display"),
          Field.number("voltageSetV", 3, 0, 1000, "hold at most this voltage"),
          Field.number("currentLimitA", 2, 0, 5000, "give at most this current"));

  private static void take(ChargerCommand m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.lifetimeS())
        .put(m.enabled())
        .put(m.stage())
        .put(m.voltageSetV())
        .put(m.currentLimitA());
  }

  private static ChargerCommand make(Values v) {
    return new ChargerCommand(
        v.whole(), v.whole(), v.number(), v.flag(), v.word(STAGES), v.number(), v.number());
  }
}
