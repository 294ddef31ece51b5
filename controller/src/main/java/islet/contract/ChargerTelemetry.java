package islet.contract;

/**
 * What a charger of its own measures and does. The layout states each field's unit and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record ChargerTelemetry(
    long seq,
    long at,
    double busVoltageV,
    double batteryTemperatureC,
    double acPowerW,
    double outputCurrentA,
    double voltageSetV,
    double currentLimitA,
    ChargeStage stage,
    boolean enabled,
    boolean local) {

  private static final ChargeStage[] STAGES = ChargeStage.values();

  /** How it crosses the wire. */
  public static final Layout<ChargerTelemetry> LAYOUT =
      new Layout<>(
          "ChargerTelemetry",
          ChargerTelemetry::take,
          ChargerTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.number("busVoltageV", 3, 0, 1000, "DC voltage at its own terminals"),
          Field.number(
              "batteryTemperatureC", 2, -60, 120, "temperature at the battery, by its own sensor"),
          Field.number("acPowerW", 1, -1000000.0, 1000000, "power taken from the main panel"),
          Field.number("outputCurrentA", 2, -5000, 5000, "current into the DC bus"),
          Field.number("voltageSetV", 3, 0, 1000, "the voltage it holds at most"),
          Field.number("currentLimitA", 2, 0, 5000, "the current it gives at most"),
          Field.word("stage", ChargeStage.class, "the charge stage it works in"),
          Field.flag("enabled", "whether it may charge"),
          Field.flag("local", "whether it runs on its own settings, the supervisor being silent"));

  private static void take(ChargerTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.busVoltageV())
        .put(m.batteryTemperatureC())
        .put(m.acPowerW())
        .put(m.outputCurrentA())
        .put(m.voltageSetV())
        .put(m.currentLimitA())
        .put(m.stage())
        .put(m.enabled())
        .put(m.local());
  }

  private static ChargerTelemetry make(Values v) {
    return new ChargerTelemetry(
        v.whole(),
        v.whole(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.word(STAGES),
        v.flag(),
        v.flag());
  }
}
