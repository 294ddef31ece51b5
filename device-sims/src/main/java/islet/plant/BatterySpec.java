package islet.plant;

/** A bank of cells in series, of one chemistry or the other. */
public sealed interface BatterySpec permits LeadAcidSpec, LfpSpec {

  /** Cells in series. */
  int cells();

  /** Nominal voltage of the bank, V. */
  double nominalV();

  /** The highest voltage it is ever charged at, V. */
  double highestV();

  /** Charge in the new bank when full, Ah. */
  double fullAh();

  /** The room follows the outside air but is kept at least this warm, °C. */
  double roomMinimumC();
}
