package islet.device;

import islet.contract.TieTrip;

/**
 * A limit of voltage (per unit) or frequency (Hz).
 *
 * @param above whether values above the limit violate it, otherwise those below
 * @param clearingS what is violated must be over after this, s
 * @param cause what the tie says when it opens for it
 */
public record Limit(
    boolean ofVoltage, boolean above, double limit, double clearingS, TieTrip cause) {}
