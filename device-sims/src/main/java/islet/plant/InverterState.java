package islet.plant;

/** What the inverter's power stage does. */
public enum InverterState {
  /** Power stage blocked, nothing drawn. */
  OFF,
  /**
   * Synchronised to somebody else's voltage: charges from it or feeds into it as a current source.
   */
  FOLLOWING,
  /** Makes its own AC voltage. */
  FORMING
}
