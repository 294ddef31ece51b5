package islet.contract;

/** What an inverter is told to do. */
public enum InverterOrder {
  /** Neither charge nor feed; clears a fault. */
  OFF,
  /** Work on the utility's voltage. */
  FOLLOW,
  /** Make the emergency panel's voltage. */
  FORM,
  /** Form, and steer onto the utility's voltage. */
  SYNCHRONISE
}
