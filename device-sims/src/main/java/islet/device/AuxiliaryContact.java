package islet.device;

/**
 * The tie's auxiliary contact, wired to the inverter: what it says of the main contacts, which it
 * may get wrong.
 */
@FunctionalInterface
public interface AuxiliaryContact {

  /** Whether it says that the main contacts are closed. */
  boolean closed();
}
