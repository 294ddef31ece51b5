package islet.contract;

/**
 * What the combined charger and inverter measures and does. The layout states each field's unit and
 * range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record InverterTelemetry(
    long seq,
    long at,
    double busVoltageV,
    double dcCurrentA,
    double acPowerW,
    double acVoltagePu,
    double acFrequencyHz,
    InverterState state,
    InverterTrip trip,
    boolean islandPermit,
    boolean local) {

  private static final InverterState[] STATES = InverterState.values();

  private static final InverterTrip[] TRIPS = InverterTrip.values();

  /** How it crosses the wire. */
  public static final Layout<InverterTelemetry> LAYOUT =
      new Layout<>(
          "InverterTelemetry",
          InverterTelemetry::take,
          InverterTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.number("busVoltageV", 3, 0, 1000, "DC voltage at its own terminals"),
          Field.number(
              "dcCurrentA", 2, -5000, 5000, "current into the DC bus, positive when it charges"),
          Field.number(
              "acPowerW",
              1,
              -1000000.0,
              1000000,
              "power from it into the panels, negative when it charges"),
          Field.number("acVoltagePu", 4, 0, 3, "AC voltage at its terminals, per unit of nominal"),
          Field.number("acFrequencyHz", 3, 0, 200, "AC frequency at its terminals, 0 when dead"),
          Field.word("state", InverterState.class, "what it does"),
          Field.word("trip", InverterTrip.class, "why it stopped by itself"),
          Field.flag(
              "islandPermit",
              "whether it may form an island by itself once the tie is proven open"),
          Field.flag("local", "whether it runs on its own settings, the supervisor being silent"));

  private static void take(InverterTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.busVoltageV())
        .put(m.dcCurrentA())
        .put(m.acPowerW())
        .put(m.acVoltagePu())
        .put(m.acFrequencyHz())
        .put(m.state())
        .put(m.trip())
        .put(m.islandPermit())
        .put(m.local());
  }

  private static InverterTelemetry make(Values v) {
    return new InverterTelemetry(
        v.whole(),
        v.whole(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.word(STATES),
        v.word(TRIPS),
        v.flag(),
        v.flag());
  }
}
