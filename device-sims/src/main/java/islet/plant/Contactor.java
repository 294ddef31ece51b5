package islet.plant;

/** How the switch between a bank and its cable to the bus stands. */
public enum Contactor {
  /** Current flows both ways. */
  CLOSED,
  /**
   * Only out of the bank, as with two switches against each other of which the one for charging is
   * off. The small drop of its diode is left out.
   */
  DISCHARGE_ONLY,
  /** No current; the bus floats on what else there is. */
  OPEN
}
