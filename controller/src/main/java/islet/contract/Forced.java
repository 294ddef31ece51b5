package islet.contract;

/** What a person may force for a time; the interlocks hold all the same. */
public enum Forced {
  /** Charge from the utility now, whatever the schedule says. */
  CHARGE_NOW,
  /** Don't charge from the utility. */
  CHARGE_OFF,
  /** Don't feed power to the panels or the utility while connected. */
  FEED_OFF,
  /** The charge regulator is off: nothing from the array. */
  REGULATOR_OFF,
  /** Every circuit of the shedding order is off. */
  SHED_ALL
}
