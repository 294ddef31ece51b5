package islet.contract;

/** The supervisor's modes. */
public enum Mode {
  /** Finding out from the field how things stand. */
  STARTING,
  /** The tie is closed and the utility carries the panels. */
  GRID_PRESENT,
  /** On the way from the utility to the island. */
  ISLANDING,
  /** The tie is proven open and the inverter carries the emergency panel. */
  ISLANDED,
  /** On the way back to the utility. */
  RECONNECTING,
  /** The tie is open and nothing carries the emergency panel. */
  DARK,
  /** Nothing is closed and nothing is formed until a person has looked. */
  HELD
}
