package islet.plant;

/**
 * A bank of lithium iron phosphate cells. Cells in parallel count as one large cell, and all cells
 * are alike.
 *
 * @param cells cells in series, nominal 3.2 V each (16 make a 48 V class bank)
 * @param capacityAh charge from full to empty at 25 °C, Ah
 * @param seriesOhm a cell's series resistance at 25 °C with its share of busbars and contactor, Ω
 * @param polarisationOhm resistance of a cell's RC pair at 25 °C, Ω
 * @param polarisationS the pair's time constant at 25 °C, s
 * @param coulombicShare share of the charging current that is stored, 0.9 to 1
 * @param selfDischargePerMonth share of the charge lost in 30 days at 25 °C, the battery management
 *     unit's own draw included
 * @param cyclesTo80 equivalent full cycles after which 80 % of the capacity are left
 * @param heatCapacityJPerK of the whole bank
 * @param heatLossWPerK to the room
 * @param roomMinimumC the room follows the outside air but is kept at least this warm, °C
 */
public record LfpSpec(
    int cells,
    double capacityAh,
    double seriesOhm,
    double polarisationOhm,
    double polarisationS,
    double coulombicShare,
    double selfDischargePerMonth,
    double cyclesTo80,
    double heatCapacityJPerK,
    double heatLossWPerK,
    double roomMinimumC)
    implements BatterySpec {

  private static final double NOMINAL_CELL_V = 3.2;

  /** End of charge of a cell (common practice). */
  private static final double HIGHEST_CELL_V = 3.65;

  /** Checks the ranges. */
  public LfpSpec {
    Require.atLeastOne(cells, "The bank's number of cells in series");
    Require.positive(capacityAh, "The bank's capacity in Ah");
    Require.positive(seriesOhm, "A cell's series resistance in Ω");
    Require.positive(polarisationOhm, "A cell's polarisation resistance in Ω");
    Require.within(polarisationS, 1, 10_000, "A cell's polarisation time constant in s");
    Require.within(coulombicShare, 0.9, 1, "The share of the charging current that is stored");
    Require.within(selfDischargePerMonth, 0, 0.5, "The bank's self-discharge in a month");
    Require.within(cyclesTo80, 10, 100_000, "The bank's equivalent full cycles to 80 %");
    Require.positive(heatCapacityJPerK, "The bank's heat capacity in J/K");
    Require.positive(heatLossWPerK, "The bank's heat loss in W/K");
    Require.within(roomMinimumC, -40, 45, "The battery room's lowest temperature in °C");
  }

  /**
   * A bank of large prismatic cells with usual values, all from memory: at the one-hour current 70
   * mV drop at once and 50 mV more with a time constant of 60 s; 99.8 % of the charge stored; 2 % a
   * month lost; 4000 equivalent full cycles to 80 %; 110 Wh/kg for the packed bank, 1 kJ/(kg·K),
   * and a time constant of six hours.
   *
   * @param cells cells in series
   * @param capacityAh capacity, Ah
   */
  public static LfpSpec prismatic(int cells, double capacityAh) {
    double massKg = cells * NOMINAL_CELL_V * capacityAh / 110.0;
    double heatCapacity = massKg * 1000.0;
    return new LfpSpec(
        cells,
        capacityAh,
        0.070 / capacityAh,
        0.050 / capacityAh,
        60,
        0.998,
        0.02,
        4000,
        heatCapacity,
        heatCapacity / 21_600.0,
        15.0);
  }

  /** The same bank in a room that is kept at least this warm, °C. */
  public LfpSpec inRoom(double minimumC) {
    return new LfpSpec(
        cells,
        capacityAh,
        seriesOhm,
        polarisationOhm,
        polarisationS,
        coulombicShare,
        selfDischargePerMonth,
        cyclesTo80,
        heatCapacityJPerK,
        heatLossWPerK,
        minimumC);
  }

  @Override
  public double nominalV() {
    return NOMINAL_CELL_V * cells;
  }

  @Override
  public double highestV() {
    return HIGHEST_CELL_V * cells;
  }

  @Override
  public double fullAh() {
    return capacityAh;
  }
}
