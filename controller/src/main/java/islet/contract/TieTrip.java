package islet.contract;

/** Why the tie opened by itself. */
public enum TieTrip {
  /** It did not. */
  NONE,
  /** The utility was gone. */
  LOSS,
  /** The utility sagged or swelled and the site chooses to leave for its critical loads' sake. */
  SAG,
  /** The voltage stayed outside the profile for the clearing time. */
  VOLTAGE,
  /** The frequency stayed outside the profile for the clearing time. */
  FREQUENCY
}
