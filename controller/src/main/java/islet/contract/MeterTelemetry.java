package islet.contract;

/**
 * What the site meter measures: service, panels and battery. The layout states each field's unit
 * and range.
 *
 * @param at microseconds since 1970, by the sender's clock
 */
public record MeterTelemetry(
    long seq,
    long at,
    double utilityVoltagePu,
    double utilityFrequencyHz,
    double pccPowerW,
    double criticalPowerW,
    double noncriticalPowerW,
    double criticalVoltagePu,
    double batteryVoltageV,
    double batteryCurrentA,
    double batteryTemperatureC,
    String shedCircuits,
    boolean local,
    BatteryPath batteryPath) {

  /** From a meter whose battery has no protection of its own. */
  public MeterTelemetry(
      long seq,
      long at,
      double utilityVoltagePu,
      double utilityFrequencyHz,
      double pccPowerW,
      double criticalPowerW,
      double noncriticalPowerW,
      double criticalVoltagePu,
      double batteryVoltageV,
      double batteryCurrentA,
      double batteryTemperatureC,
      String shedCircuits,
      boolean local) {
    this(
        seq,
        at,
        utilityVoltagePu,
        utilityFrequencyHz,
        pccPowerW,
        criticalPowerW,
        noncriticalPowerW,
        criticalVoltagePu,
        batteryVoltageV,
        batteryCurrentA,
        batteryTemperatureC,
        shedCircuits,
        local,
        BatteryPath.CLOSED);
  }

  private static final BatteryPath[] PATHS = BatteryPath.values();

  /** How it crosses the wire. */
  public static final Layout<MeterTelemetry> LAYOUT =
      new Layout<>(
          "MeterTelemetry",
          MeterTelemetry::take,
          MeterTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.number("utilityVoltagePu", 4, 0, 3, "voltage at the service, per unit of nominal"),
          Field.number("utilityFrequencyHz", 3, 0, 200, "frequency at the service, 0 when dead"),
          Field.number(
              "pccPowerW",
              1,
              -10000000.0,
              10000000,
              "power at the point of common coupling, import positive"),
          Field.number("criticalPowerW", 1, -1000000.0, 1000000, "power of the critical circuits"),
          Field.number(
              "noncriticalPowerW", 1, -1000000.0, 1000000, "power of the non-critical circuits"),
          Field.number("criticalVoltagePu", 4, 0, 3, "voltage at the emergency panel"),
          Field.number("batteryVoltageV", 3, 0, 1000, "voltage at the battery terminals"),
          Field.number("batteryCurrentA", 2, -5000, 5000, "current into the battery, by the shunt"),
          Field.number("batteryTemperatureC", 2, -60, 120, "temperature at the battery"),
          Field.text(
              "shedCircuits", 512, "names of the circuits that are switched off, joined by commas"),
          Field.flag("local", "whether it runs on its own settings, the supervisor being silent"),
          Field.word(
              "batteryPath",
              BatteryPath.class,
              "which way the battery's own protection lets current flow"));

  private static void take(MeterTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.utilityVoltagePu())
        .put(m.utilityFrequencyHz())
        .put(m.pccPowerW())
        .put(m.criticalPowerW())
        .put(m.noncriticalPowerW())
        .put(m.criticalVoltagePu())
        .put(m.batteryVoltageV())
        .put(m.batteryCurrentA())
        .put(m.batteryTemperatureC())
        .put(m.shedCircuits())
        .put(m.local())
        .put(m.batteryPath());
  }

  private static MeterTelemetry make(Values v) {
    return new MeterTelemetry(
        v.whole(),
        v.whole(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.text(),
        v.flag(),
        v.word(PATHS));
  }
}
