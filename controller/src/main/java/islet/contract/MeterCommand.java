package islet.contract;

/**
 * Which circuits the panel shall switch off. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record MeterCommand(long seq, long at, double lifetimeS, String shedCircuits) {

  /** How it crosses the wire. */
  public static final Layout<MeterCommand> LAYOUT =
      new Layout<>(
          "MeterCommand",
          MeterCommand::take,
          MeterCommand::make,
          Field.seq(),
          Field.at(),
          Field.number("lifetimeS", 3, 0, 3600, "how long the order is good for, from at"),
          Field.text(
              "shedCircuits",
              512,
              "names of the circuits to switch off, joined by commas; the others are switched on"));

  private static void take(MeterCommand m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.lifetimeS()).put(m.shedCircuits());
  }

  private static MeterCommand make(Values v) {
    return new MeterCommand(v.whole(), v.whole(), v.number(), v.text());
  }
}
