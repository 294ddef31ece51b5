package islet.contract;

/**
 * Something that needs a person. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record Alarm(
    long seq,
    long at,
    AlarmId id,
    AlarmState state,
    AlarmPriority priority,
    String text,
    String consequence,
    String action) {

  private static final AlarmId[] IDS = AlarmId.values();

  private static final AlarmState[] STATES = AlarmState.values();

  private static final AlarmPriority[] PRIORITYS = AlarmPriority.values();

  /** How it crosses the wire. */
  public static final Layout<Alarm> LAYOUT =
      new Layout<>(
          "Alarm",
          Alarm::take,
          Alarm::make,
          Field.seq(),
          Field.at(),
          Field.word("id", AlarmId.class, "which"),
          Field.word("state", AlarmState.class, "where it is in its life"),
          Field.word("priority", AlarmPriority.class, "how soon a person must act"),
          Field.text("text", 256, "what is wrong"),
          Field.text("consequence", 256, "what follows if nothing is done"),
          Field.text("action", 256, "what to do"));

  private static void take(Alarm m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.id())
        .put(m.state())
        .put(m.priority())
        .put(m.text())
        .put(m.consequence())
        .put(m.action());
  }

  private static Alarm make(Values v) {
    return new Alarm(
        v.whole(),
        v.whole(),
        v.word(IDS),
        v.word(STATES),
        v.word(PRIORITYS),
        v.text(),
        v.text(),
        v.text());
  }
}
