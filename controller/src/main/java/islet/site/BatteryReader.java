package islet.site;

/** Reads the battery: its size, its limits and its charge set points. */
final class BatteryReader {

  private BatteryReader() {}

  /** A lead-acid cell's nominal voltage, by which banks are named (common practice). */
  private static final double CELL_V = 2;

  static Site.Battery battery(Section s) {
    Site.Chemistry chemistry = s.choice("chemistry", Site.Chemistry.class, "");
    double nominalV = s.quantity("nominalVoltage", Dimension.VOLTAGE, 12, 400, "");
    int cells = (int) s.integer("cells", 6, 200, "Cells in series: 24 for a 48 V bank.");
    double capacity =
        s.quantity(
            "capacity",
            Dimension.CHARGE,
            1,
            20_000,
            "Give the 20-hour capacity of the whole bank.");
    double cable =
        s.quantity(
            "cableResistance", Dimension.RESISTANCE, 0, 1, "Both ways, between battery and bus.");
    Site.Limits limits = s.section("limits", "", BatteryReader::limits);
    Site.Charge charge = s.section("charge", "", c -> charge(c, cells));
    if (cells * CELL_V < nominalV || cells * CELL_V > nominalV) {
      s.wrong(
          "cells",
          "nominalVoltage divided by " + Dimension.VOLTAGE.text(CELL_V),
          "A lead-acid cell counts 2 V.");
    }
    return new Site.Battery(chemistry, nominalV, cells, capacity, cable, limits, charge);
  }

  private static Site.Limits limits(Section s) {
    Site.Limits limits =
        new Site.Limits(
            s.quantity("maximumVoltage", Dimension.VOLTAGE, 12, 600, ""),
            s.quantity("maximumChargeCurrent", Dimension.CURRENT, 0.1, 10_000, ""),
            s.quantity("minimumChargeTemperature", Dimension.TEMPERATURE, -40, 20, ""),
            s.quantity("maximumChargeTemperature", Dimension.TEMPERATURE, 20, 70, ""),
            s.quantity("floor", Dimension.RATIO, 0, 0.95, "State of charge never to go below."),
            s.quantity("recovery", Dimension.RATIO, 0, 1, "Loads come back at this one."),
            s.quantity("disconnectVoltage", Dimension.VOLTAGE, 8, 600, ""),
            s.quantity("reconnectVoltage", Dimension.VOLTAGE, 8, 600, ""),
            s.quantity("tolerance", Dimension.TIME, 0.1, 3600, ""));
    if (limits.floorSoc() >= limits.recoverySoc()) {
      s.wrong("floor", "less than recovery", "Loads would come and go without end.");
    }
    if (limits.disconnectV() >= limits.reconnectV()) {
      s.wrong(
          "disconnectVoltage",
          "less than reconnectVoltage",
          "Voltage rises when the loads drop, so they would come and go without end.");
    }
    return limits;
  }

  private static Site.Charge charge(Section s, int cells) {
    Site.Charge charge =
        new Site.Charge(
            s.quantity("absorptionVoltage", Dimension.VOLTAGE, 12, 600, "At 25 degC."),
            s.quantity("floatVoltage", Dimension.VOLTAGE, 12, 600, "At 25 degC."),
            cells
                * s.quantity(
                    "compensationPerCell",
                    Dimension.VOLTAGE_PER_KELVIN,
                    -0.008,
                    0,
                    "Lead-acid: about -4 mV/K for each cell."),
            s.quantity("absorptionTime", Dimension.TIME, 60, 86_400, "The longest absorption."),
            s.quantity("tailCurrent", Dimension.CURRENT, 0.01, 1000, "Absorption ends below it."),
            s.quantity("rebulkVoltage", Dimension.VOLTAGE, 8, 600, ""));
    if (charge.floatV() >= charge.absorptionV()) {
      s.wrong("floatVoltage", "less than absorptionVoltage", "");
    }
    if (charge.rebulkV() >= charge.floatV()) {
      s.wrong("rebulkVoltage", "less than floatVoltage", "A charge would begin at each float.");
    }
    return charge;
  }
}
