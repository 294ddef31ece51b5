package islet.plant;

/** What stands between the main panel and the critical one. */
public enum Transfer {
  /** Nothing: the critical panel hangs on the inverter alone. */
  NONE,
  /** A tie switch: closed, inverter and utility share the critical panel. */
  TIE,
  /**
   * A changeover switch, break before make: the critical panel hangs on the utility or on the
   * inverter, and on neither while it travels. The two sources never meet.
   */
  CHANGEOVER
}
