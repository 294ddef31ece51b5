package islet.contract;

/**
 * The supervisor's heartbeat and its picture of the site. The layout states each field's unit and
 * range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record SupervisorTelemetry(
    long seq,
    long at,
    Mode mode,
    ChargeStage stage,
    GridState grid,
    boolean tieClosed,
    double batteryVoltageV,
    double soc,
    double reserveSoc,
    double qualifiedInS,
    Authority authority,
    String overrides,
    double voltageSoc,
    String doubts,
    boolean warned,
    double confidence) {

  private static final Mode[] MODES = Mode.values();

  private static final ChargeStage[] STAGES = ChargeStage.values();

  private static final GridState[] GRIDS = GridState.values();

  private static final Authority[] AUTHORITIES = Authority.values();

  /** How it crosses the wire. */
  public static final Layout<SupervisorTelemetry> LAYOUT =
      new Layout<>(
          "SupervisorTelemetry",
          SupervisorTelemetry::take,
          SupervisorTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.word("mode", Mode.class, "the mode"),
          Field.word("stage", ChargeStage.class, "the charge stage of the battery"),
          Field.word("grid", GridState.class, "what the supervisor makes of the utility"),
          Field.flag("tieClosed", "where the supervisor believes the tie to be"),
          Field.number("batteryVoltageV", 3, 0, 1000, "battery voltage as voted"),
          Field.number("soc", 4, 0, 1, "state of charge as estimated"),
          Field.number("reserveSoc", 4, 0, 1, "the reserve in force"),
          Field.number(
              "qualifiedInS", 1, 0, 1000000, "time until the utility has qualified, 0 when it has"),
          Field.word("authority", Authority.class, "who begins what"),
          Field.text(
              "overrides", 128, "what a person has forced, with commas between; empty for nothing"),
          Field.number(
              "voltageSoc",
              4,
              0,
              1,
              "what the battery's voltage alone would make of the state of charge, as if it"
                  + " rested; to be shown, not to be decided by"),
          Field.text(
              "doubts",
              512,
              "measurements that are not believed and why, with commas between; empty for none"),
          Field.flag("warned", "whether somebody's warning stands"),
          Field.number(
              "confidence",
              4,
              0,
              1,
              "how surely the utility is there for the whole of the next charge window; 1 when"
                  + " there is none"));

  private static void take(SupervisorTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.mode())
        .put(m.stage())
        .put(m.grid())
        .put(m.tieClosed())
        .put(m.batteryVoltageV())
        .put(m.soc())
        .put(m.reserveSoc())
        .put(m.qualifiedInS())
        .put(m.authority())
        .put(m.overrides())
        .put(m.voltageSoc())
        .put(m.doubts())
        .put(m.warned())
        .put(m.confidence());
  }

  private static SupervisorTelemetry make(Values v) {
    return new SupervisorTelemetry(
        v.whole(),
        v.whole(),
        v.word(MODES),
        v.word(STAGES),
        v.word(GRIDS),
        v.flag(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.word(AUTHORITIES),
        v.text(),
        v.number(),
        v.text(),
        v.flag(),
        v.number());
  }
}
