package islet.device;

import java.util.List;

/**
 * What a tie switch is set to.
 *
 * @param operateS from the coil's order to the end of the contact's travel, s
 * @param lossBelowPu the utility is gone below this voltage, per unit
 * @param lossS for this long, s
 * @param separateBelowPu it opens for the critical loads' sake below this voltage, per unit; 0 for
 *     never
 * @param separateS for this long, s
 * @param limits voltage and frequency limits with clearing times
 * @param syncVoltagePu largest voltage difference at which it closes, per unit
 * @param syncFrequencyHz largest frequency difference, Hz
 * @param syncAngleDeg largest angle, degrees
 * @param minimumPu lowest utility voltage onto which it closes, per unit
 * @param maximumPu highest
 */
public record TieSettings(
    double operateS,
    double lossBelowPu,
    double lossS,
    double separateBelowPu,
    double separateS,
    List<Limit> limits,
    double syncVoltagePu,
    double syncFrequencyHz,
    double syncAngleDeg,
    double minimumPu,
    double maximumPu) {

  public TieSettings {
    limits = List.copyOf(limits);
  }
}
