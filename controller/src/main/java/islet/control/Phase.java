package islet.control;

import islet.contract.Mode;

/**
 * The steps of the mode machine: each belongs to a mode and, in a transition, is one step of its
 * sequence.
 */
public enum Phase {
  /** Listening until every device that is needed has reported. */
  LISTEN(Mode.STARTING),
  /** The tie is closed and the utility carries the panels. */
  CONNECTED(Mode.GRID_PRESENT),
  /**
   * Before a planned opening the inverter takes over the panel's power, so that the tie carries
   * none.
   */
  UNLOAD_TIE(Mode.GRID_PRESENT),
  /** The tie is told to open, and its opening is being proven. */
  OPEN_TIE(Mode.ISLANDING),
  /** The tie is proven open, and the inverter is told to form. */
  FORM(Mode.ISLANDING),
  /** The inverter carries the emergency panel. */
  CARRY(Mode.ISLANDED),
  /** The inverter steers the island onto the utility's voltage, frequency and angle. */
  SYNCHRONISE(Mode.RECONNECTING),
  /** In step; the tie is told to close. */
  CLOSE_TIE(Mode.RECONNECTING),
  /** The emergency panel is dead; the tie is told to close onto it. */
  CLOSE_ON_DEAD_PANEL(Mode.RECONNECTING),
  /** Nothing carries the emergency panel. */
  UNSUPPLIED(Mode.DARK),
  /** A person must look. */
  WAIT_FOR_PERSON(Mode.HELD);

  private final Mode mode;

  Phase(Mode mode) {
    this.mode = mode;
  }

  /** The mode that the wire and the screens tell. */
  public Mode mode() {
    return mode;
  }
}
