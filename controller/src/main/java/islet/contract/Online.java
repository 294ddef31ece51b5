package islet.contract;

/**
 * Whether a device is there, retained; the broker says so when it is lost. The layout states each
 * field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record Online(long seq, long at, boolean online) {

  /** How it crosses the wire. */
  public static final Layout<Online> LAYOUT =
      new Layout<>(
          "Online",
          Online::take,
          Online::make,
          Field.seq(),
          Field.at(),
          Field.flag("online", "whether it is there"));

  private static void take(Online m, Values v) {
    v.put(m.seq()).put(m.at()).put(m.online());
  }

  private static Online make(Values v) {
    return new Online(v.whole(), v.whole(), v.flag());
  }
}
