package islet.contract;

/**
 * What sun, utility and loads offer and ask of the simulated site at present, and what has come of
 * it since the run's start, by the plant's own books. The layout states each field's unit and
 * range.
 *
 * @param at site time, microseconds since 1970
 */
public record BenchLedger(
    long seq,
    long at,
    double sunWPerM2,
    double loadsWantW,
    double sourceVoltagePu,
    double sourceFrequencyHz,
    double pvKWh,
    double curtailedKWh,
    double importKWh,
    double exportKWh,
    double batteryInKWh,
    double batteryOutKWh,
    double storedChangeKWh,
    double criticalKWh,
    double noncriticalKWh,
    double unservedCriticalKWh,
    double unservedNoncriticalKWh,
    double panelDarkS,
    double mainPanelDarkS,
    long toIsland,
    long toUtility,
    double cost) {

  private static final double MOST_W = 10_000_000;
  private static final double MOST_KWH = 1e9;
  private static final double MOST_S = 1e9;
  private static final long MOST_COUNT = 1_000_000_000;

  /** How it crosses the wire. */
  public static final Layout<BenchLedger> LAYOUT =
      new Layout<>(
          "BenchLedger",
          BenchLedger::take,
          BenchLedger::make,
          Field.seq(),
          Field.at(),
          Field.number("sunWPerM2", 1, 0, 2000, "light in the plane of the array"),
          Field.number(
              "loadsWantW", 1, 0, MOST_W, "what all circuits would take at nominal voltage"),
          Field.number(
              "sourceVoltagePu",
              4,
              0,
              3,
              "voltage of the utility's own source, 0 while it is gone"),
          Field.number(
              "sourceFrequencyHz",
              3,
              0,
              200,
              "frequency of the utility's own source, 0 while it is gone"),
          energy("pvKWh", "taken from the array"),
          energy("curtailedKWh", "could have been had from the array beside that"),
          energy("importKWh", "through the meter from the utility"),
          energy("exportKWh", "through the meter to the utility"),
          energy("batteryInKWh", "into the battery's terminals"),
          energy("batteryOutKWh", "out of the battery's terminals"),
          energy("storedChangeKWh", "by how much the battery's store has grown"),
          energy("criticalKWh", "used by the critical circuits"),
          energy("noncriticalKWh", "used by the non-critical circuits"),
          energy("unservedCriticalKWh", "wanted by critical circuits in vain"),
          energy("unservedNoncriticalKWh", "wanted by non-critical circuits in vain"),
          Field.number("panelDarkS", 3, 0, MOST_S, "how long the emergency panel was below 0.1 pu"),
          Field.number(
              "mainPanelDarkS",
              3,
              0,
              MOST_S,
              "how long the main panel was, of a site with circuits on it"),
          Field.whole("toIsland", 0, MOST_COUNT, "times that the site has become an island"),
          Field.whole("toUtility", 0, MOST_COUNT, "times that it has gone onto the utility"),
          Field.number(
              "cost", 4, -1e9, 1e9, "the bill, in the tariff's currency; 0 without a utility"));

  private static Field energy(String name, String meaning) {
    return Field.number(name, 4, -MOST_KWH, MOST_KWH, meaning);
  }

  private static void take(BenchLedger m, Values v) {
    v.put(m.seq())
        .put(m.at())
        .put(m.sunWPerM2())
        .put(m.loadsWantW())
        .put(m.sourceVoltagePu())
        .put(m.sourceFrequencyHz())
        .put(m.pvKWh())
        .put(m.curtailedKWh())
        .put(m.importKWh())
        .put(m.exportKWh())
        .put(m.batteryInKWh())
        .put(m.batteryOutKWh())
        .put(m.storedChangeKWh())
        .put(m.criticalKWh())
        .put(m.noncriticalKWh())
        .put(m.unservedCriticalKWh())
        .put(m.unservedNoncriticalKWh())
        .put(m.panelDarkS())
        .put(m.mainPanelDarkS())
        .put(m.toIsland())
        .put(m.toUtility())
        .put(m.cost());
  }

  private static BenchLedger make(Values v) {
    return new BenchLedger(
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
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.number(),
        v.whole(),
        v.whole(),
        v.number());
  }
}
