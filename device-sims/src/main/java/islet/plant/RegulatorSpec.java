package islet.plant;

import java.util.Optional;

/**
 * A charge regulator.
 *
 * @param ratedCurrentA largest output current, A
 * @param efficiency of a tracking one at 10, 50 and 100 % of rated power (rated current times the
 *     bank's nominal voltage); empty for a PWM regulator, which has its drop instead
 * @param idleW own consumption, W; a tracking one takes it from the array by day and from the
 *     battery by night, a PWM regulator always from the battery
 * @param droopOhm slope of the output near its set point, V/A: how far the voltage may sag below
 *     the set point per ampere given
 * @param cableOhm loop resistance between its terminals and the bus, Ω
 * @param kind how it brings the array's power to the bus
 * @param dropV of a PWM regulator: voltage across its switch and diode while current flows, V
 */
public record RegulatorSpec(
    double ratedCurrentA,
    Optional<Efficiency> efficiency,
    double idleW,
    double droopOhm,
    double cableOhm,
    RegulatorKind kind,
    double dropV) {
  /** Checks the ranges. */
  public RegulatorSpec {
    Require.positive(ratedCurrentA, "The regulator's rated current in A");
    Require.notNegative(idleW, "The regulator's idle draw in W");
    Require.positive(droopOhm, "The regulator's droop in Ω");
    Require.notNegative(cableOhm, "The regulator's cable resistance in Ω");
    Require.within(dropV, 0, 5, "The regulator's drop in V");
    Require.that(
        efficiency.isPresent() == (kind == RegulatorKind.MPPT),
        "A tracking regulator needs its efficiency, and a PWM regulator has none; this one is "
            + kind
            + '.');
  }

  /** A tracking regulator. */
  public RegulatorSpec(
      double ratedCurrentA, Efficiency efficiency, double idleW, double droopOhm, double cableOhm) {
    this(ratedCurrentA, Optional.of(efficiency), idleW, droopOhm, cableOhm, RegulatorKind.MPPT, 0);
  }

  /** A PWM regulator. */
  public static RegulatorSpec pwm(
      double ratedCurrentA, double dropV, double idleW, double droopOhm, double cableOhm) {
    return new RegulatorSpec(
        ratedCurrentA, Optional.empty(), idleW, droopOhm, cableOhm, RegulatorKind.PWM, dropV);
  }
}
