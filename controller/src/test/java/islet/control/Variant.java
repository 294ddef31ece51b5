package islet.control;

import islet.contract.OperatorOrder;

/** A supervisor that is broken in one way, to see that an exploration finds it. */
interface Variant {

  /** The supervisor as it is. */
  Variant NONE = new Variant() {};

  /** Whether the operator's order reaches it. */
  default boolean hears(OperatorOrder order) {
    return true;
  }

  /** Whether a time that has run out has run out for it too. */
  default boolean runsOut(String timer) {
    return true;
  }

  /** Whether a time that has just begun has run out for it already. */
  default boolean hurries(String timer) {
    return false;
  }

  /** Spoils its orders. */
  default void spoil(Phase after, Field field, Outputs out) {}
}
