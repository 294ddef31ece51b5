package islet.device;

import java.util.List;

/**
 * What a tie or a changeover switch is set to.
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
 * @param changeover whether it is a changeover switch, which never joins the two sides
 * @param deadS how long a changeover switch stands between its sides, s
 * @param byHand whether only a person moves it
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
    double maximumPu,
    boolean changeover,
    double deadS,
    boolean byHand) {

  public TieSettings {
    limits = List.copyOf(limits);
  }
}
