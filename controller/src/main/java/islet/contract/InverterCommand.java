package islet.contract;

/**
 * What the combined charger and inverter shall do. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record InverterCommand(
    long seq,
    long at,
    double lifetimeS,
    InverterOrder order,
    boolean islandPermit,
    double chargeVoltageV,
    double chargeLimitA,
    double feedVoltageV,
    double feedLimitW,
    double exportLimitW) {

  private static final InverterOrder[] ORDERS = InverterOrder.values();

  /** How it crosses the wire. */
  public static final Layout<InverterCommand> LAYOUT =
      new Layout<>(
          "InverterCommand",
          InverterCommand::take,
          InverterCommand::make,
          Field.seq(),
          Field.at(),
          Field.number("lifetimeS", 3, 0, 3600, "how long the order is good for, from at"),
          Field.word("order", InverterOrder.class, "what to do"),
          Field.flag(
              "islandPermit",
              "whether it may form an island by itself once the tie is proven open"),
          Field.number("chargeVoltageV", 3, 0, 1000, "charge from AC up to this voltage"),
          Field.number(
              "chargeLimitA",
              2,
              0,
              5000,
              "charge from AC with at most this current; 0 for not at all"),
          Field.number(
              "feedVoltageV", 3, 0, 1000, "feed AC from DC when the bus is above this voltage"),
          Field.number("feedLimitW", 1, 0, 1000000, "feed at most this power; 0 for not at all"),
          Field.number("exportLimitW", 1, 0, 1000000, "power that may leave the site at most"));

  private static void take(InverterCommand m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.lifetimeS())
        .put(m.order())
        .put(m.islandPermit())
        .put(m.chargeVoltageV())
        .put(m.chargeLimitA())
        .put(m.feedVoltageV())
        .put(m.feedLimitW())
        .put(m.exportLimitW());
  }

  private static InverterCommand make(Values v) {
    return new InverterCommand(
        v.whole(),
        v.whole(),
        v.number(),
        v.word(ORDERS),
        v.flag(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number());
  }
}
