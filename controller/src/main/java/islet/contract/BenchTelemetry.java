package islet.contract;

/**
 * What is really so at the simulated site, whatever any sensor says, and the step of the mode
 * machine. The layout states each field's unit and range.
 *
 * @param at site time, microseconds since 1970
 */
public record BenchTelemetry(
    long seq,
    long at,
    boolean utilityLive,
    double utilityVoltagePu,
    double utilityFrequencyHz,
    double pccPowerW,
    double mainVoltagePu,
    double criticalVoltagePu,
    double criticalPowerW,
    double noncriticalPowerW,
    boolean tieClosed,
    double pvAvailableW,
    double pvPowerW,
    double busVoltageV,
    double batteryVoltageV,
    double batteryCurrentA,
    double batterySoc,
    double batteryTemperatureC,
    ChargeStage regulatorStage,
    InverterState inverterState,
    double inverterPowerW,
    double chargerPowerW,
    double priceImport,
    double priceExport,
    double outdoorC,
    String phase,
    double phaseForS,
    double phaseLimitS,
    String waits) {

  private static final ChargeStage[] STAGES = ChargeStage.values();
  private static final InverterState[] INVERTER_STATES = InverterState.values();
  private static final double MOST_W = 10_000_000;

  /** How it crosses the wire. */
  public static final Layout<BenchTelemetry> LAYOUT =
      new Layout<>(
          "BenchTelemetry",
          BenchTelemetry::take,
          BenchTelemetry::make,
          Field.seq(),
          Field.at(),
          Field.flag("utilityLive", "whether the utility itself is there"),
          Field.number("utilityVoltagePu", 4, 0, 3, "voltage at the service, per unit of nominal"),
          Field.number("utilityFrequencyHz", 3, 0, 200, "frequency at the service, 0 when dead"),
          watts("pccPowerW", "power at the point of common coupling, import positive"),
          Field.number("mainVoltagePu", 4, 0, 3, "voltage at the main panel"),
          Field.number("criticalVoltagePu", 4, 0, 3, "voltage at the emergency panel"),
          watts("criticalPowerW", "power of the critical circuits"),
          watts("noncriticalPowerW", "power of the non-critical circuits"),
          Field.flag("tieClosed", "whether the switch's main contact is closed"),
          watts("pvAvailableW", "what the array could give"),
          watts("pvPowerW", "what is taken from it"),
          Field.number("busVoltageV", 3, 0, 1000, "voltage of the DC bus"),
          Field.number("batteryVoltageV", 3, 0, 1000, "voltage at the battery terminals"),
          Field.number("batteryCurrentA", 2, -5000, 5000, "current into the battery"),
          Field.number("batterySoc", 5, 0, 1, "state of charge"),
          Field.number("batteryTemperatureC", 2, -60, 120, "temperature of the cells"),
          Field.word("regulatorStage", ChargeStage.class, "the regulator's stage"),
          Field.word("inverterState", InverterState.class, "what the inverter does"),
          watts("inverterPowerW", "power out of the inverter on its AC side"),
          watts("chargerPowerW", "what the charger of its own takes from the utility"),
          Field.number("priceImport", 4, -1000, 1000, "price of a kWh from the utility"),
          Field.number("priceExport", 4, -1000, 1000, "price of a kWh to the utility"),
          Field.number("outdoorC", 2, -90, 90, "temperature of the air"),
          Field.text("phase", 32, "the step of the mode machine; empty when nobody can tell"),
          Field.number("phaseForS", 3, 0, 1_000_000_000, "for how long it has been in that step"),
          Field.number(
              "phaseLimitS", 3, 0, 1_000_000, "the longest that the step may take; 0 for no limit"),
          Field.text(
              "waits",
              512,
              "what the rows of the mode machine wait for by time, as in 43 BAND 12.5/300: the row,"
                  + " what counts, s passed, s in all; with a comma between several, empty while"
                  + " nothing counts or nobody can tell"));

  private static Field watts(String name, String meaning) {
    return Field.number(name, 1, -MOST_W, MOST_W, meaning);
  }

  private static void take(BenchTelemetry m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.utilityLive())
        .put(m.utilityVoltagePu())
        .put(m.utilityFrequencyHz())
        .put(m.pccPowerW())
        .put(m.mainVoltagePu())
        .put(m.criticalVoltagePu())
        .put(m.criticalPowerW())
        .put(m.noncriticalPowerW())
        .put(m.tieClosed())
        .put(m.pvAvailableW())
        .put(m.pvPowerW())
        .put(m.busVoltageV())
        .put(m.batteryVoltageV())
        .put(m.batteryCurrentA())
        .put(m.batterySoc())
        .put(m.batteryTemperatureC())
        .put(m.regulatorStage())
        .put(m.inverterState())
        .put(m.inverterPowerW())
        .put(m.chargerPowerW())
        .put(m.priceImport())
        .put(m.priceExport())
        .put(m.outdoorC())
        .put(m.phase())
        .put(m.phaseForS())
        .put(m.phaseLimitS())
        .put(m.waits());
  }

  private static BenchTelemetry make(Values v) {
    return new BenchTelemetry(
        v.whole(),
        v.whole(),
        v.flag(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.flag(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.word(STAGES),
        v.word(INVERTER_STATES),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.text(),
        v.number(),
        v.number(),
        v.text());
  }
}
