package islet.bench.check;

import static islet.bench.check.Severity.DANGER;
import static islet.bench.check.Severity.DOUBTFUL;
import static islet.bench.check.Severity.WRONG;

import islet.site.Site;
import java.util.List;

/** Charge set points against the chemistry and its temperatures. */
final class ChargeRules {

  private static final String R17 =
      "common practice for flooded lead-acid and lithium iron phosphate cells, from memory";
  private static final String MEMORY = "common practice, from memory";

  /** Room for the last digit of a quotient. */
  private static final double EDGE = 1e-9;

  private static final double REFERENCE_C = 25;

  private ChargeRules() {}

  static final List<Rule> ALL =
      List.of(
          new Rule(
              "absorption-band",
              WRONG,
              "absorption at 25 °C: lead-acid 2.37 to 2.45 V per cell, lithium iron phosphate 3.45"
                  + " to 3.60",
              "Too high gasses a lead-acid bank dry and ages lithium cells; too low never fills it,"
                  + " and a lead-acid bank sulphates.",
              R17,
              ChargeRules::absorptionBand),
          new Rule(
              "float-band",
              WRONG,
              "float at 25 °C: lead-acid 2.20 to 2.27 V per cell, lithium iron phosphate 3.35 to"
                  + " 3.40",
              "A bank stands at float for most of its life: too high corrodes or ages it, too low"
                  + " lets it run down.",
              R17,
              ChargeRules::floatBand),
          new Rule(
              "compensation",
              WRONG,
              "compensation of a lead-acid bank: -3 to -5 mV/K per cell",
              "A cold cell needs a higher voltage to fill, a warm one a lower one, else it gasses and"
                  + " warms further.",
              R17 + "; IEC 62509 asks for compensation, from memory",
              ChargeRules::compensation),
          new Rule(
              "absorption-cold",
              WRONG,
              "absorption, compensated for the coldest room, within the bank's highest voltage",
              "The set point is cut off at the limit, so that the bank is not filled in winter, when"
                  + " it is needed most.",
              "arithmetic on the site's own figures",
              ChargeRules::absorptionCold),
          new Rule(
              "float-hot",
              DOUBTFUL,
              "float, compensated for the hottest bank that is charged, above the full bank's resting"
                  + " voltage",
              "Below its resting voltage a bank discharges while it is said to be held full.",
              "resting voltages of the plant's model; " + MEMORY,
              ChargeRules::floatHot),
          new Rule(
              "voltage-limit",
              WRONG,
              "highest voltage of a lead-acid bank: no more than 2.60 V per cell",
              "Above that the bank gasses violently, and equipment on the bus may not bear it.",
              MEMORY,
              ChargeRules::voltageLimit),
          new Rule(
              "management-voltage",
              DOUBTFUL,
              "absorption at least 0.05 V per cell below the management unit's over-voltage",
              "Cells are never quite alike: the fullest one trips the unit while the others still"
                  + " fill.",
              MEMORY,
              ChargeRules::managementVoltage),
          new Rule(
              "tail-current",
              DOUBTFUL,
              "tail current: 1 to 4 % of the capacity in A, lithium 2 to 5 %",
              "Too high ends the absorption of a bank that is not full; too low is never reached, and"
                  + " absorption runs to its time-out.",
              MEMORY,
              ChargeRules::tailCurrent),
          new Rule(
              "absorption-time",
              DOUBTFUL,
              "longest absorption: lead-acid 1 to 6 h, lithium 0.25 to 3 h",
              "Too short leaves the last tenth out each day; too long overcharges when the tail"
                  + " current is not seen.",
              MEMORY,
              ChargeRules::absorptionTime),
          new Rule(
              "rebulk-voltage",
              DOUBTFUL,
              "rebulk between the resting voltages of the bank at 50 % and when full",
              "Above the full bank's rest, each small load begins a new charge; far below, the bank"
                  + " stands half empty before one begins.",
              "resting voltages of the plant's model; common practice",
              ChargeRules::rebulkVoltage),
          new Rule(
              "equalise",
              WRONG,
              "equalising: above absorption, up to 2.60 V per cell and the bank's highest voltage, with"
                  + " at most a tenth of the capacity in A",
              "Lower evens out nothing; higher or harder boils the electrolyte and sheds the plates."
                  + " Cells gas: ventilate, no flame.",
              MEMORY,
              ChargeRules::equalise),
          new Rule(
              "charge-temperatures",
              WRONG,
              "charging: lead-acid -20 to 50 °C, lithium iron phosphate up to 55 °C",
              "A hot bank that is charged warms itself further until it boils dry or vents; a frozen"
                  + " one is ruined.",
              MEMORY,
              ChargeRules::chargeTemperatures),
          new Rule(
              "lithium-frost",
              DOUBTFUL,
              "a room for lithium cells that stays warm enough to charge them",
              "Below their temperature they give current and take none: a cold week runs them down"
                  + " with the sun shining.",
              MEMORY,
              ChargeRules::lithiumFrost),
          new Rule(
              "lead-frost",
              DANGER,
              "a room in which the electrolyte does not freeze at the floor",
              "The emptier a lead-acid cell, the sooner it freezes; ice bursts the case and spills"
                  + " acid.",
              "freezing points of the electrolyte, handbook values, from memory",
              ChargeRules::leadFrost));

  private static void absorptionBand(Subject s, Findings f) {
    double low = s.leadAcid() ? 2.37 : 3.45;
    double high = s.leadAcid() ? 2.45 : 3.60;
    band(s, f, "battery.charge.absorptionVoltage", s.charge().absorptionV(), low, high);
  }

  private static void floatBand(Subject s, Findings f) {
    double low = s.leadAcid() ? 2.20 : 3.35;
    double high = s.leadAcid() ? 2.27 : 3.40;
    band(s, f, "battery.charge.floatVoltage", s.charge().floatV(), low, high);
  }

  private static void band(
      Subject s, Findings f, String field, double bankV, double low, double high) {
    double v = s.perCell(bankV);
    if (v >= low - EDGE && v <= high + EDGE) {
      return;
    }
    int cells = s.battery().cells();
    f.tell(
        v > high ? WRONG : DOUBTFUL,
        field,
        Say.volts(bankV)
            + " for "
            + cells
            + " cells, which is "
            + Say.cellVolts(v)
            + "; asked is "
            + Say.cellVolts(low)
            + " to "
            + Say.cellVolts(high),
        "Set "
            + Say.volts(low * cells)
            + " to "
            + Say.volts(high * cells)
            + ", unless the bank's own data sheet says otherwise.");
  }

  private static void compensation(Subject s, Findings f) {
    double mv = 1000 * s.perCell(s.charge().compensationVPerK());
    if (!s.leadAcid() || (mv <= -3 + EDGE && mv >= -5 - EDGE)) {
      return;
    }
    f.tell(
        mv > -1 ? WRONG : DOUBTFUL,
        "battery.charge.compensationPerCell",
        Say.number(mv, 2) + " mV/K per cell; asked is -5 to -3 mV/K",
        "Set -4 mV/K, or what the bank's data sheet says, and see that the sensor sits on the bank.");
  }

  private static void absorptionCold(Subject s, Findings f) {
    double coldC = Math.max(s.battery().roomMinimumC(), s.limits().minimumChargeC());
    double v = s.compensated(s.charge().absorptionV(), Math.min(coldC, REFERENCE_C));
    if (v > s.limits().maximumV() + EDGE) {
      f.tell(
          WRONG,
          "battery.limits.maximumVoltage",
          Say.volts(s.limits().maximumV())
              + "; absorption at "
              + Say.celsius(coldC)
              + " needs "
              + Say.volts(v),
          "Raise the limit if bank and bus bear it, or keep the room warmer.");
    }
  }

  private static void floatHot(Subject s, Findings f) {
    double hotC = s.limits().maximumChargeC();
    double v = s.compensated(s.charge().floatV(), hotC);
    double restV = s.restingV(1);
    if (s.leadAcid() && v < restV) {
      f.tell(
          DOUBTFUL,
          "battery.limits.maximumChargeTemperature",
          Say.celsius(hotC)
              + ", at which float is "
              + Say.volts(v)
              + "; a full bank rests at "
              + Say.volts(restV),
          "Lower the highest temperature, or see that the room does not get so hot.");
    }
  }

  private static void voltageLimit(Subject s, Findings f) {
    double v = s.perCell(s.limits().maximumV());
    if (s.leadAcid() && v > 2.60 + EDGE) {
      f.tell(
          WRONG,
          "battery.limits.maximumVoltage",
          Say.volts(s.limits().maximumV()) + ", which is " + Say.cellVolts(v) + "; 2.60 at most",
          "Set " + Say.volts(2.60 * s.battery().cells()) + " or less.");
    }
  }

  private static void managementVoltage(Subject s, Findings f) {
    s.battery()
        .management()
        .map(Site.Management::overV)
        .filter(over -> over - s.perCell(s.charge().absorptionV()) < 0.05 - EDGE)
        .ifPresent(
            over ->
                f.tell(
                    DOUBTFUL,
                    "battery.charge.absorptionVoltage",
                    Say.cellVolts(s.perCell(s.charge().absorptionV()))
                        + "; the management unit opens at "
                        + Say.volts(over),
                    "Lower the absorption voltage to 0.05 V per cell below it or less."));
  }

  private static void tailCurrent(Subject s, Findings f) {
    double share = s.rate(s.charge().tailA());
    double low = s.leadAcid() ? 0.01 : 0.02;
    double high = s.leadAcid() ? 0.04 : 0.05;
    if (share < low - EDGE || share > high + EDGE) {
      f.tell(
          DOUBTFUL,
          "battery.charge.tailCurrent",
          Say.amps(s.charge().tailA())
              + ", which is "
              + Say.share(share)
              + " of the capacity; asked is "
              + Say.share(low)
              + " to "
              + Say.share(high),
          "Set "
              + Say.amps(low * s.battery().capacity20hAh())
              + " to "
              + Say.amps(high * s.battery().capacity20hAh())
              + ".");
    }
  }

  private static void absorptionTime(Subject s, Findings f) {
    double hours = s.charge().absorptionS() / 3600;
    double low = s.leadAcid() ? 1 : 0.25;
    double high = s.leadAcid() ? 6 : 3;
    if (hours < low - EDGE || hours > high + EDGE) {
      f.tell(
          DOUBTFUL,
          "battery.charge.absorptionTime",
          Say.number(hours, 2)
              + " h; asked is "
              + Say.number(low, 2)
              + " h to "
              + Say.number(high, 2)
              + " h",
          "Set what the bank's data sheet says; without one, " + (s.leadAcid() ? "3 h." : "1 h."));
    }
  }

  private static void equalise(Subject s, Findings f) {
    s.charge().equalise().ifPresent(e -> equalise(s, e, f));
  }

  private static void equalise(Subject s, Site.Equalise e, Findings f) {
    double highestV = Math.min(2.60 * s.battery().cells(), s.battery().limits().maximumV());
    double highestA =
        Math.min(s.battery().capacity20hAh() / 10, s.battery().limits().maximumChargeA());
    if (e.voltageV() <= s.charge().absorptionV() || e.voltageV() > highestV + EDGE) {
      f.tell(
          WRONG,
          "battery.charge.equalise.voltage",
          Say.volts(e.voltageV())
              + "; asked is more than absorption's "
              + Say.volts(s.charge().absorptionV())
              + " and at most "
              + Say.volts(highestV),
          "Set what the battery's instructions say, or take equalise out.");
    }
    if (e.currentA() > highestA + EDGE) {
      f.tell(
          WRONG,
          "battery.charge.equalise.current",
          Say.amps(e.currentA()) + "; asked is at most " + Say.amps(highestA),
          "Set a twentieth of the capacity, or what the battery's instructions say.");
    }
  }

  private static void rebulkVoltage(Subject s, Findings f) {
    double lowV = s.restingV(0.5);
    double highV = s.restingV(1);
    double v = s.charge().rebulkV();
    if (v < lowV || v > highV) {
      f.tell(
          DOUBTFUL,
          "battery.charge.rebulkVoltage",
          Say.volts(v) + "; asked is " + Say.volts(lowV) + " to " + Say.volts(highV),
          "Set it a little below the full bank's resting voltage.");
    }
  }

  private static void chargeTemperatures(Subject s, Findings f) {
    double most = s.leadAcid() ? 50 : 55;
    if (s.limits().maximumChargeC() > most) {
      f.tell(
          WRONG,
          "battery.limits.maximumChargeTemperature",
          Say.celsius(s.limits().maximumChargeC()) + "; asked is " + Say.celsius(most) + " or less",
          "Lower it to what the bank's data sheet allows.");
    }
    if (s.leadAcid() && s.limits().minimumChargeC() < -20) {
      f.tell(
          WRONG,
          "battery.limits.minimumChargeTemperature",
          Say.celsius(s.limits().minimumChargeC()) + "; asked is -20 °C or more",
          "Raise it to what the bank's data sheet allows.");
    }
  }

  private static void lithiumFrost(Subject s, Findings f) {
    double roomC = s.battery().roomMinimumC();
    if (!s.leadAcid() && roomC < s.limits().minimumChargeC()) {
      f.tell(
          DOUBTFUL,
          "battery.roomMinimumTemperature",
          Say.celsius(roomC)
              + "; the cells take charge from "
              + Say.celsius(s.limits().minimumChargeC())
              + " on",
          "Heat or insulate the room, or count on days without charge; never bridge the management"
              + " unit.");
    }
  }

  private static void leadFrost(Subject s, Findings f) {
    double freezesC = freezesC(s.limits().floorSoc());
    if (s.leadAcid() && s.battery().roomMinimumC() < freezesC) {
      f.tell(
          DANGER,
          "battery.roomMinimumTemperature",
          Say.celsius(s.battery().roomMinimumC())
              + "; at the floor of "
              + Say.share(s.limits().floorSoc())
              + " the electrolyte freezes at about "
              + Say.celsius(freezesC),
          "Keep the room warmer, or raise the floor.");
    }
  }

  /**
   * Freezing point of the electrolyte: about -8 °C empty, -15 °C at 40 %, -27 °C at 60 % and -60 °C
   * full, with straight lines between; handbook values, from memory.
   */
  private static double freezesC(double soc) {
    if (soc <= 0.4) {
      return -8 - 7 * soc / 0.4;
    }
    return soc <= 0.6 ? -15 - 12 * (soc - 0.4) / 0.2 : -27 - 33 * (soc - 0.6) / 0.4;
  }
}
