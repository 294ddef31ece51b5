package islet.plant;

/** How a charge regulator brings the array's power to the bus. */
public enum RegulatorKind {
  /** It keeps the array at its maximum power point and converts. */
  MPPT,
  /** It ties the array to the bus through a switch. */
  PWM
}
