package islet.contract;

/** Why an inverter stopped by itself. */
public enum InverterTrip {
  /** It did not. */
  NONE,
  /** More load than its surge rating bears. */
  OVERLOAD,
  /** DC voltage below its minimum or the low-voltage disconnect. */
  DC_LOW,
  /** DC voltage above its maximum. */
  DC_HIGH,
  /** It did not start in time. */
  START,
  /** The utility left the profile's limits while the inverter fed it. */
  UTILITY
}
