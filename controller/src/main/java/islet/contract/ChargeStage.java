package islet.contract;

/** The stages of a charge. */
public enum ChargeStage {
  /** No charging. */
  OFF,
  /** As much current as allowed, until the absorption voltage is reached. */
  BULK,
  /** Held at the absorption voltage while the current falls. */
  ABSORPTION,
  /** Held full at a lower voltage. */
  FLOAT,
  /** Held above absorption for a while, to even out the cells of a flooded battery. */
  EQUALISE,
  /** Full and left alone. */
  REST
}
