package islet.plant;

/**
 * A flooded lead-acid bank.
 *
 * @param cells cells in series, nominal 2 V each (24 make 48 V)
 * @param capacityC10Ah charge it gives in ten hours at 25 °C, Ah
 * @param availableShare share of the charge that is at hand at once (c of the kinetic battery
 *     model), 0.1 to 0.9
 * @param ratePerH how fast the two wells even out (k' of the model, as the rate constant of the
 *     difference of heads), 1/h
 * @param selfDischargePerMonth share of the charge lost in 30 days at 25 °C
 * @param cyclesTo80 equivalent full cycles after which 80 % of the capacity are left
 * @param heatCapacityJPerK of the whole bank
 * @param heatLossWPerK to the room
 * @param roomMinimumC the room follows the outside air but is kept at least this warm, °C
 */
public record LeadAcidSpec(
    int cells,
    double capacityC10Ah,
    double availableShare,
    double ratePerH,
    double selfDischargePerMonth,
    double cyclesTo80,
    double heatCapacityJPerK,
    double heatLossWPerK,
    double roomMinimumC)
    implements BatterySpec {
  /** The highest charging voltage of a cell, equalising included (common practice). */
  private static final double HIGHEST_CELL_V = 2.5;

  /** Checks the ranges. */
  public LeadAcidSpec {
    Require.atLeastOne(cells, "The bank's number of cells in series");
    Require.positive(capacityC10Ah, "The bank's ten-hour capacity in Ah");
    Require.within(availableShare, 0.1, 0.9, "The bank's available share");
    Require.within(ratePerH, 0.05, 20, "The bank's well rate in 1/h");
    Require.within(selfDischargePerMonth, 0, 0.5, "The bank's self-discharge in a month");
    Require.within(cyclesTo80, 10, 100_000, "The bank's equivalent full cycles to 80 %");
    Require.positive(heatCapacityJPerK, "The bank's heat capacity in J/K");
    Require.positive(heatLossWPerK, "The bank's heat loss in W/K");
    Require.within(roomMinimumC, -40, 45, "The battery room's lowest temperature in °C");
  }

  /**
   * A flooded deep-cycle bank with usual values: c = 0.4 and k' = 2/h (a 20 h capacity 1.04 times
   * and a 1 h capacity 0.65 times the ten-hour one), 3 % self-discharge a month (common practice),
   * 600 equivalent full cycles to 80 % (common practice: 1200 cycles to half), 0.9 kJ/(kg·K) at 31
   * Wh/kg (from memory), and a time constant of about half a day.
   *
   * @param cells cells in series
   * @param capacityC10Ah ten-hour capacity, Ah
   */
  public static LeadAcidSpec flooded(int cells, double capacityC10Ah) {
    double massKg = cells * 2.0 * capacityC10Ah / 31.0;
    double heatCapacity = massKg * 900.0;
    return new LeadAcidSpec(
        cells, capacityC10Ah, 0.4, 2.0, 0.03, 600, heatCapacity, heatCapacity / 43_200.0, 15.0);
  }

  /** The same bank in a room that is kept at least this warm, °C. */
  public LeadAcidSpec inRoom(double minimumC) {
    return new LeadAcidSpec(
        cells,
        capacityC10Ah,
        availableShare,
        ratePerH,
        selfDischargePerMonth,
        cyclesTo80,
        heatCapacityJPerK,
        heatLossWPerK,
        minimumC);
  }

  @Override
  public double nominalV() {
    return 2.0 * cells;
  }

  @Override
  public double highestV() {
    return HIGHEST_CELL_V * cells;
  }

  /**
   * Charge in both wells when full, Ah: what makes the two-well model give exactly the ten-hour
   * capacity in ten hours (Manwell and McGowan 1993, capacity at constant current).
   */
  @Override
  public double fullAh() {
    double c = availableShare;
    double kt = ratePerH * 10.0;
    double share = kt * c / (-StrictMath.expm1(-kt) + c * (kt + StrictMath.expm1(-kt)));
    return capacityC10Ah / share;
  }
}
