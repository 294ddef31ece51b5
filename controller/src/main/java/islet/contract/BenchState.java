package islet.contract;

/**
 * How the live run stands. The layout states each field's unit and range.
 *
 * @param at site time, microseconds since 1970
 * @param startAt when the run began, likewise
 * @param endAt when its scenario is over, likewise
 */
public record BenchState(
    long seq,
    long at,
    long run,
    String scenario,
    RunState state,
    double speed,
    double achievedSpeed,
    double behindS,
    long startAt,
    long endAt,
    String bookmark,
    String faults) {

  private static final RunState[] STATES = RunState.values();

  /** How it crosses the wire. */
  public static final Layout<BenchState> LAYOUT =
      new Layout<>(
          "BenchState",
          BenchState::take,
          BenchState::make,
          Field.seq(),
          Field.at(),
          Field.whole("run", 1, 1L << 53, "counts the runs of this process"),
          Field.text("scenario", 64, "the name of what is played"),
          Field.word("state", RunState.class, "whether site time goes on"),
          Field.number("speed", 3, 0, 1_000_000, "site seconds in a wall second, as asked"),
          Field.number("achievedSpeed", 3, 0, 1_000_000, "the same, as it was in the last second"),
          Field.number(
              "behindS", 3, 0, 1_000_000_000, "by how much site time is behind the wall clock"),
          Field.instant("startAt", "when the run began, in site time"),
          Field.instant("endAt", "when it is over, in site time"),
          Field.text("bookmark", 64, "the last bookmark; empty for none"),
          Field.text(
              "faults",
              2048,
              "the faults that stand, each its number, kind, device and signal, as in 3 sensor-bias"
                  + " regulator bus.voltage_V; with a comma between several"));

  private static void take(BenchState m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.run())
        .put(m.scenario())
        .put(m.state())
        .put(m.speed())
        .put(m.achievedSpeed())
        .put(m.behindS())
        .put(m.startAt())
        .put(m.endAt())
        .put(m.bookmark())
        .put(m.faults());
  }

  private static BenchState make(Values v) {
    return new BenchState(
        v.whole(),
        v.whole(),
        v.whole(),
        v.text(),
        v.word(STATES),
        v.number(),
        v.number(),
        v.number(),
        v.whole(),
        v.whole(),
        v.text(),
        v.text());
  }
}
