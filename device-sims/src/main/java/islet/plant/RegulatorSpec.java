package islet.plant;

/**
 * A charge regulator with maximum power point tracking.
 *
 * @param ratedCurrentA largest output current, A
 * @param efficiency at 10, 50 and 100 % of rated power (rated current times the bank's nominal
 *     voltage)
 * @param idleW own consumption, W; taken from the array by day and from the battery by night
 * @param droopOhm slope of the output near its set point, V/A: how far the voltage may sag below
 *     the set point per ampere given
 * @param cableOhm loop resistance between its terminals and the bus, Ω
 */
public record RegulatorSpec(
    double ratedCurrentA, Efficiency efficiency, double idleW, double droopOhm, double cableOhm) {
  /** Checks the ranges. */
  public RegulatorSpec {
    Require.positive(ratedCurrentA, "The regulator's rated current in A");
    Require.notNegative(idleW, "The regulator's idle draw in W");
    Require.positive(droopOhm, "The regulator's droop in Ω");
    Require.notNegative(cableOhm, "The regulator's cable resistance in Ω");
  }
}
