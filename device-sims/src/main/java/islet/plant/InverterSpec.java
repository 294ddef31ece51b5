package islet.plant;

import java.util.Optional;

/**
 * A bidirectional inverter and charger between the DC bus and the critical panel.
 *
 * @param ratedW continuous AC output, W
 * @param surgeW most it gives for a short time, W; its current limit is this over nominal voltage,
 *     and beyond it the AC voltage sags
 * @param surgeS how long it may give that, s (judged by the device's firmware, not here)
 * @param efficiency at 10, 50 and 100 % of rated output, either direction
 * @param idleW own consumption while on, W, always from the DC bus
 * @param ratedChargeA most DC current when charging from AC, A
 * @param dcMinimumV terminal voltage below which it can't hold its output, V
 * @param dcMaximumV terminal voltage above which it may be damaged, V
 * @param droopOhm slope of its DC characteristic near a set point, V/A
 * @param cableOhm loop resistance between its terminals and the bus, Ω
 * @param outputReactancePu reactance behind its AC terminals, per unit of its rating; limits what
 *     flows when two sources meet
 * @param islandFeedbackPerS positive feedback of its active anti-islanding: how fast a frequency
 *     deviation grows while it follows an island, 1/s
 * @param islandKickHzPerS the push that starts the deviation in a perfectly matched island, to
 *     either side in turn until the frequency gives way, Hz/s
 * @param thermal its heat sink; empty for one that never gets too warm
 */
public record InverterSpec(
    double ratedW,
    double surgeW,
    double surgeS,
    Efficiency efficiency,
    double idleW,
    double ratedChargeA,
    double dcMinimumV,
    double dcMaximumV,
    double droopOhm,
    double cableOhm,
    double outputReactancePu,
    double islandFeedbackPerS,
    double islandKickHzPerS,
    Optional<ThermalSpec> thermal) {
  /** Checks the ranges. */
  public InverterSpec {
    Require.positive(ratedW, "The inverter's rated power in W");
    Require.that(
        surgeW >= ratedW && surgeW <= 10 * ratedW,
        "The inverter's surge power is "
            + surgeW
            + " W; it must lie between its rated power, "
            + ratedW
            + " W, and ten times that.");
    Require.notNegative(surgeS, "The inverter's surge time in s");
    Require.notNegative(idleW, "The inverter's idle draw in W");
    Require.notNegative(ratedChargeA, "The inverter's rated charge current in A");
    Require.positive(dcMinimumV, "The inverter's lowest DC voltage in V");
    Require.that(
        dcMaximumV > dcMinimumV,
        "The inverter's highest DC voltage is "
            + dcMaximumV
            + " V; it must be above its lowest, "
            + dcMinimumV
            + " V.");
    Require.positive(droopOhm, "The inverter's droop in Ω");
    Require.notNegative(cableOhm, "The inverter's cable resistance in Ω");
    Require.within(outputReactancePu, 0.01, 2, "The inverter's output reactance in per unit");
    Require.within(islandFeedbackPerS, 0, 100, "The anti-islanding feedback in 1/s");
    Require.within(islandKickHzPerS, -20, 20, "The anti-islanding push in Hz/s");
  }

  /** An inverter that never gets too warm. */
  public InverterSpec(
      double ratedW,
      double surgeW,
      double surgeS,
      Efficiency efficiency,
      double idleW,
      double ratedChargeA,
      double dcMinimumV,
      double dcMaximumV,
      double droopOhm,
      double cableOhm,
      double outputReactancePu,
      double islandFeedbackPerS,
      double islandKickHzPerS) {
    this(
        ratedW,
        surgeW,
        surgeS,
        efficiency,
        idleW,
        ratedChargeA,
        dcMinimumV,
        dcMaximumV,
        droopOhm,
        cableOhm,
        outputReactancePu,
        islandFeedbackPerS,
        islandKickHzPerS,
        Optional.empty());
  }
}
