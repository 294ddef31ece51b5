package islet.device;

import java.util.List;
import java.util.Optional;

/**
 * What a combined charger and inverter is set to, and its own protection.
 *
 * @param nominalHz the island's frequency before the small offset, Hz
 * @param startS from cold to forming, s
 * @param surge how long it bears loads beyond its rating
 * @param ratedW continuous rating, W
 * @param dcMinimumV stops below this bus voltage at once, V
 * @param dcMaximumV stops above this one at once, V
 * @param disconnectV low-voltage disconnect of its loads, V
 * @param reconnectV it forms again above this one only, V
 * @param disconnectS for how long the voltage must be low, s
 * @param maximumA most charging current, A
 * @param cessationBelowPu it neither feeds nor charges below this AC voltage, per unit
 * @param maximumPu nor above this one
 * @param limits voltage and frequency limits with clearing times, after which it ceases too
 * @param alone it stands on no utility's panel: it forms from the start, and never follows
 * @param feeds whether it may feed power while it follows
 * @param ownCharging the stages by which it charges when nobody coordinates; empty when it takes
 *     the supervisor's set points
 */
public record InverterSettings(
    double nominalHz,
    double startS,
    SurgeCurve surge,
    double ratedW,
    double dcMinimumV,
    double dcMaximumV,
    double disconnectV,
    double reconnectV,
    double disconnectS,
    double maximumA,
    double cessationBelowPu,
    double maximumPu,
    List<Limit> limits,
    boolean alone,
    boolean feeds,
    Optional<ChargingSettings> ownCharging) {

  public InverterSettings {
    limits = List.copyOf(limits);
  }
}
