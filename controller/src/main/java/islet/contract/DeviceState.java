package islet.contract;

/**
 * The state of a device, retained. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record DeviceState(long seq, long at, String state, String detail) {

  /** How it crosses the wire. */
  public static final Layout<DeviceState> LAYOUT =
      new Layout<>(
          "DeviceState",
          DeviceState::take,
          DeviceState::make,
          Field.seq(),
          Field.at(),
          Field.text("state", 64, "the state in one word"),
          Field.text("detail", 512, "why"));

  private static void take(DeviceState m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.state()).put(m.detail());
  }

  private static DeviceState make(Values v) {
    return new DeviceState(v.whole(), v.whole(), v.text(), v.text());
  }
}
