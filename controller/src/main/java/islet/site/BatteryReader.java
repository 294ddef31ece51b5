package islet.site;

import java.util.Optional;

/** Reads the battery: its size, its limits and its charge set points. */
final class BatteryReader {

  private BatteryReader() {}

  /** A lead-acid cell's nominal voltage, by which banks are named (common practice). */
  private static final double LEAD_CELL_V = 2;

  /**
   * Lithium iron phosphate banks are named by the class of equipment they replace: 16 cells of 3.2
   * V stand for 48 V, as do 15 (common practice).
   */
  private static final double LFP_CELL_V = 3.2;

  private static final double LFP_CLASS_CELL_V = 3.0;

  static Site.Battery battery(Section s) {
    Site.Chemistry chemistry = s.choice("chemistry", Site.Chemistry.class, "");
    double nominalV = s.quantity("nominalVoltage", Dimension.VOLTAGE, 12, 400, "");
    int cells = cells(s, chemistry);
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
    double roomC =
        s.has("roomMinimumTemperature")
            ? s.quantity(
                "roomMinimumTemperature",
                Dimension.TEMPERATURE,
                -40,
                45,
                "The room follows the outside air but is kept at least this warm.")
            : Site.Battery.USUAL_ROOM_C;
    Site.Limits limits = s.section("limits", "", BatteryReader::limits);
    Site.Charge charge = s.section("charge", "", c -> charge(c, chemistry, cells));
    Optional<Site.Management> management = management(s, chemistry);
    checkCells(s, chemistry, nominalV, cells);
    management.ifPresent(m -> checkManaged(s, cells, limits, charge, m));
    return new Site.Battery(
        chemistry, nominalV, cells, capacity, cable, roomC, limits, charge, management);
  }

  private static int cells(Section s, Site.Chemistry chemistry) {
    return (int)
        switch (chemistry) {
          case LEAD_ACID -> s.integer("cells", 6, 200, "Cells in series: 24 for a 48 V bank.");
          case LFP -> s.integer("cells", 4, 130, "Cells in series: 16 for a 48 V bank.");
        };
  }

  private static void checkCells(Section s, Site.Chemistry chemistry, double nominalV, int cells) {
    switch (chemistry) {
      case LEAD_ACID -> {
        if (cells * LEAD_CELL_V < nominalV || cells * LEAD_CELL_V > nominalV) {
          s.wrong(
              "cells",
              "nominalVoltage divided by " + Dimension.VOLTAGE.text(LEAD_CELL_V),
              "A lead-acid cell counts 2 V.");
        }
      }
      case LFP -> {
        if (cells * LFP_CELL_V < nominalV || cells * LFP_CLASS_CELL_V > nominalV) {
          s.wrong(
              "cells",
              "nominalVoltage divided by 3 V to 3.2 V",
              "A lithium iron phosphate cell counts 3.2 V, and 16 of them make a 48 V class bank.");
        }
      }
    }
  }

  private static Optional<Site.Management> management(Section s, Site.Chemistry chemistry) {
    return switch (chemistry) {
      case LEAD_ACID -> {
        if (s.has("management")) {
          s.wrong(
              "management",
              "a management unit",
              "no management with lead-acid cells",
              "Take it out; lithium cells have one.");
        }
        yield Optional.empty();
      }
      case LFP ->
          Optional.of(
              s.section(
                  "management",
                  "Lithium cells need a battery management unit: say where it acts.",
                  BatteryReader::management));
    };
  }

  private static Site.Management management(Section s) {
    return new Site.Management(
        s.quantity("overVoltage", Dimension.VOLTAGE, 3.4, 3.9, "Of a cell: usually 3.65 V."),
        s.quantity("underVoltage", Dimension.VOLTAGE, 2.0, 3.0, "Of a cell: usually 2.5 V."),
        s.quantity("chargeCurrent", Dimension.CURRENT, 0.1, 10_000, "It trips above it."),
        s.quantity("dischargeCurrent", Dimension.CURRENT, 0.1, 10_000, "It trips above it."),
        s.quantity("overTemperature", Dimension.TEMPERATURE, 40, 80, "It trips above it."));
  }

  /** What the set points must keep to, so that the management unit never has to act. */
  private static void checkManaged(
      Section s, int cells, Site.Limits limits, Site.Charge charge, Site.Management unit) {
    double highestV = cells * unit.overV();
    if (limits.maximumV() > highestV) {
      s.wrong(
          "limits.maximumVoltage",
          Dimension.VOLTAGE.text(highestV) + " or less, cells times management.overVoltage",
          "Else the management unit opens the contactor before the limit is reached.");
    }
    if (charge.absorptionV() >= highestV) {
      s.wrong(
          "charge.absorptionVoltage",
          "less than " + Dimension.VOLTAGE.text(highestV) + ", cells times management.overVoltage",
          "Else every full charge would end with an open contactor.");
    }
    if (charge.compensationVPerK() < 0) {
      s.wrong(
          "charge.compensationPerCell",
          "0 mV/K",
          "Lithium iron phosphate is charged to the same voltage at every temperature.");
    }
    if (limits.minimumChargeC() < 0) {
      s.wrong(
          "limits.minimumChargeTemperature",
          "0 degC or more",
          "Charging frozen cells plates lithium and ruins them.");
    }
    if (limits.maximumChargeA() > unit.chargeA()) {
      s.wrong(
          "limits.maximumChargeCurrent",
          "management.chargeCurrent or less",
          "Else the management unit opens the contactor while the bank is charged.");
    }
    if (limits.disconnectV() <= cells * unit.underV()) {
      s.wrong(
          "limits.disconnectVoltage",
          "more than "
              + Dimension.VOLTAGE.text(cells * unit.underV())
              + ", cells times management.underVoltage",
          "Else the management unit opens the contactor before the loads are taken off.");
    }
    if (limits.maximumChargeC() >= unit.overC()) {
      s.wrong(
          "limits.maximumChargeTemperature",
          "less than management.overTemperature",
          "Charging ends before everything ends.");
    }
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

  private static Site.Equalise equalise(Section s, Site.Chemistry chemistry) {
    Site.Equalise equalise =
        new Site.Equalise(
            s.quantity("voltage", Dimension.VOLTAGE, 12, 600, "At 25 degC."),
            s.quantity("current", Dimension.CURRENT, 0.1, 10_000, "The most meanwhile."),
            s.quantity("for", Dimension.TIME, 60, 86_400, "So long at the voltage."),
            s.has("every") ? s.quantity("every", Dimension.TIME, 86_400, 4e7, "") : 0,
            s.quantity("maximumTemperature", Dimension.TEMPERATURE, 20, 60, ""));
    if (chemistry == Site.Chemistry.LFP) {
      s.wrong("voltage", "no equalise with lithium cells", "It would ruin them. Take it out.");
    }
    return equalise;
  }

  private static Site.Rest rest(Section s) {
    return new Site.Rest(
        s.quantity("after", Dimension.TIME, 60, 864_000, "At float."),
        s.quantity("voltage", Dimension.VOLTAGE, 12, 600, "At 25 degC."));
  }

  private static Site.Charge charge(Section s, Site.Chemistry chemistry, int cells) {
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
                    "Lead-acid: about -4 mV/K for each cell; lithium: 0 mV/K."),
            s.quantity("absorptionTime", Dimension.TIME, 60, 86_400, "The longest absorption."),
            s.quantity("tailCurrent", Dimension.CURRENT, 0.01, 1000, "Absorption ends below it."),
            s.quantity("rebulkVoltage", Dimension.VOLTAGE, 8, 600, ""),
            s.has("equalise")
                ? Optional.of(s.section("equalise", "", e -> equalise(e, chemistry)))
                : Optional.empty(),
            s.has("rest")
                ? Optional.of(s.section("rest", "", BatteryReader::rest))
                : Optional.empty());
    charge
        .rest()
        .filter(r -> r.voltageV() <= charge.rebulkV() || r.voltageV() >= charge.floatV())
        .ifPresent(
            r ->
                s.wrong(
                    "rest",
                    "a voltage above rebulkVoltage and below floatVoltage",
                    "Else a rest would be a charge, or begin one."));
    if (charge.floatV() >= charge.absorptionV()) {
      s.wrong("floatVoltage", "less than absorptionVoltage", "");
    }
    if (charge.rebulkV() >= charge.floatV()) {
      s.wrong("rebulkVoltage", "less than floatVoltage", "A charge would begin at each float.");
    }
    return charge;
  }
}
