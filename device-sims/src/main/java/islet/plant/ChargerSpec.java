package islet.plant;

/**
 * A one-way charger from the main panel to the DC bus.
 *
 * @param ratedCurrentA largest output current, A
 * @param efficiency at 10, 50 and 100 % of rated power (rated current times the bank's nominal
 *     voltage)
 * @param idleW own consumption while switched on, W; taken from the main panel
 * @param droopOhm slope of the output near its set point, V/A
 * @param cableOhm loop resistance between its terminals and the bus, Ω
 */
public record ChargerSpec(
    double ratedCurrentA, Efficiency efficiency, double idleW, double droopOhm, double cableOhm) {
  /** Checks the ranges. */
  public ChargerSpec {
    Require.positive(ratedCurrentA, "The charger's rated current in A");
    Require.notNegative(idleW, "The charger's idle draw in W");
    Require.positive(droopOhm, "The charger's droop in Ω");
    Require.notNegative(cableOhm, "The charger's cable resistance in Ω");
  }
}
