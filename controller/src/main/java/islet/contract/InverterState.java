package islet.contract;

/** What the combined charger and inverter does. */
public enum InverterState {
  /** Neither charges nor feeds. */
  OFF,
  /** On its way to forming. */
  STARTING,
  /** On the utility's voltage: charges, feeds or idles. */
  FOLLOWING,
  /** Makes the emergency panel's voltage by itself. */
  FORMING,
  /** Forms, and steers its voltage onto the utility's. */
  SYNCHRONISING,
  /** Stopped by its own protection; wants a reset by an OFF order. */
  FAULT
}
