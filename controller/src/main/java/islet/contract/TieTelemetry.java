package islet.contract;

/**
 * What the tie switch measures on both sides and what its auxiliary contact says. The layout states
 * each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record TieTelemetry(
    long seq,
    long at,
    boolean closed,
    boolean orderedClosed,
    double utilityVoltagePu,
    double utilityFrequencyHz,
    double islandVoltagePu,
    double islandFrequencyHz,
    double angleDeg,
    TieTrip trip,
    boolean held,
    boolean local) {

  private static final TieTrip[] TRIPS = TieTrip.values();

  /** How it crosses the wire. */
  public static final Layout<TieTelemetry> LAYOUT =
      new Layout<>(
          "TieTelemetry",
          TieTelemetry::take,
          TieTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.flag("closed", "what the auxiliary contact says of the main contacts"),
          Field.flag("orderedClosed", "what the coil has been told"),
          Field.number(
              "utilityVoltagePu", 4, 0, 3, "voltage on the utility side, per unit of nominal"),
          Field.number(
              "utilityFrequencyHz", 3, 0, 200, "frequency on the utility side, 0 when dead"),
          Field.number(
              "islandVoltagePu", 4, 0, 3, "voltage on the emergency side, per unit of nominal"),
          Field.number(
              "islandFrequencyHz", 3, 0, 200, "frequency on the emergency side, 0 when dead"),
          Field.number(
              "angleDeg", 2, -180, 180, "angle of the emergency side ahead of the utility side"),
          Field.word("trip", TieTrip.class, "why it opened by itself"),
          Field.flag("held", "whether a maintenance hold blocks its closing"),
          Field.flag("local", "whether it runs on its own settings, the supervisor being silent"));

  private static void take(TieTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.closed())
        .put(m.orderedClosed())
        .put(m.utilityVoltagePu())
        .put(m.utilityFrequencyHz())
        .put(m.islandVoltagePu())
        .put(m.islandFrequencyHz())
        .put(m.angleDeg())
        .put(m.trip())
        .put(m.held())
        .put(m.local());
  }

  private static TieTelemetry make(Values v) {
    return new TieTelemetry(
        v.whole(),
        v.whole(),
        v.flag(),
        v.flag(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.word(TRIPS),
        v.flag(),
        v.flag());
  }
}
