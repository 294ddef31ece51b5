package islet.plant;

/** Where energy comes from and goes to; each is summed in J by the {@link Ledger}. */
public enum Flow {
  /** What the array could have given at its maximum power point. */
  PV_AVAILABLE,
  /** What was taken from the array. */
  PV,
  /** What was not taken: available less taken. */
  CURTAILED,
  /** Lost in the charge regulator, its idle draw included. */
  REGULATOR_LOSS,
  /** Into the battery's terminals. */
  BATTERY_IN,
  /** Out of the battery's terminals. */
  BATTERY_OUT,
  /** Lost in the battery's resistances. */
  BATTERY_OHMIC_LOSS,
  /** Spent on side reactions instead of being stored; in a lead-acid bank they make gas. */
  BATTERY_GAS_LOSS,
  /** Lost to self-discharge. */
  BATTERY_SELF_DISCHARGE,
  /** Lost inside the battery as the two wells even out. */
  BATTERY_MIXING_LOSS,
  /** Held by active material that is lost as the battery wears; see its fade. */
  BATTERY_FADE_LOSS,
  /** Change of the energy in the wells; negative when they were drawn down. */
  STORED_CHANGE,
  /** Lost in the charger, its idle draw included. */
  CHARGER_LOSS,
  /** From the main panel into the charger. */
  CHARGER_FROM_AC,
  /** Lost in the DC cables. */
  CABLE_LOSS,
  /** Lost in converting, either way, without the idle draw. */
  INVERTER_LOSS,
  /** The inverter's idle draw. */
  INVERTER_IDLE,
  /** From the inverter into the critical panel. */
  INVERTER_TO_AC,
  /** From the critical panel into the inverter. */
  INVERTER_FROM_AC,
  /** Used by the critical circuits. */
  CRITICAL,
  /** Used by the non-critical circuits. */
  NONCRITICAL,
  /** Wanted by critical circuits that were open or without usable voltage. */
  UNSERVED_CRITICAL,
  /** Wanted by non-critical circuits that were open or without usable voltage. */
  UNSERVED_NONCRITICAL,
  /** Through the meter from the utility. */
  IMPORT,
  /** Through the meter to the utility, or into its dead line. */
  EXPORT,
  /** From the utility's source; negative when it takes energy in. */
  UTILITY_SOURCE,
  /** Lost in transformer and service drop. */
  SERVICE_LOSS,
  /** Used by the neighbours' load on a line whose source is open. */
  LINE_LOAD
}
