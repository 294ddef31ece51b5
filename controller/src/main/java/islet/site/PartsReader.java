package islet.site;

import java.util.BitSet;
import java.util.List;
import java.util.Optional;

/** Reads the parts of the plant but for battery and loads. */
final class PartsReader {
  /** One over each third of the cells: common practice for modules of 36 to 72 cells. */
  private static final int USUAL_BYPASS_DIODES = 3;

  private PartsReader() {}

  static Site.Place place(Section s) {
    return new Site.Place(
        s.quantity("latitude", Dimension.ANGLE, -66, 66, "North is positive."),
        s.quantity("longitude", Dimension.ANGLE, -180, 180, "East is positive."),
        s.quantity("altitude", Dimension.LENGTH, -430, 5500, "Height above the sea."),
        s.quantity("albedo", Dimension.RATIO, 0, 1, "Grass reflects about 0.2, snow 0.7."),
        s.zone("zone", "Names are those of the IANA time zone data."));
  }

  static Site.Utility utility(Section s, Site.Arrangement arrangement) {
    // Where nothing can feed, there is no export to limit.
    boolean feeds = arrangement.mayFeed();
    if (!feeds && s.has("exportLimit")) {
      s.wrong(
          "exportLimit",
          "no limit, since nothing feeds in this arrangement",
          "Take it out, or name an arrangement that feeds: grid-interactive or two-panel.");
    }
    return new Site.Utility(
        s.quantity("nominalVoltage", Dimension.VOLTAGE, 100, 690, ""),
        s.quantity("nominalFrequency", Dimension.FREQUENCY, 45, 65, ""),
        s.quantity("serviceResistance", Dimension.RESISTANCE, 0.0001, 5, ""),
        s.quantity("serviceReactance", Dimension.RESISTANCE, 0, 5, ""),
        s.quantity(
            "lineLoad",
            Dimension.POWER,
            0,
            1e6,
            "What neighbours leave on a line that is cut off."),
        feeds
            ? s.quantity("exportLimit", Dimension.POWER, 0, 1e6, "0 W where export is not allowed.")
            : 0);
  }

  /**
   * An inverter as its section describes it.
   *
   * @param own its own voltage and frequency, in the place of a utility's; NaN beside a utility
   */
  record InverterPart(Site.Inverter inverter, Site.Utility own) {}

  static Site.Charger charger(Section s) {
    return new Site.Charger(
        s.quantity("ratedCurrent", Dimension.CURRENT, 1, 5000, "On the battery's side."),
        s.section("efficiency", "", PartsReader::efficiency),
        s.quantity("idle", Dimension.POWER, 0, 500, "Taken from the main panel."));
  }

  static Site.Changeover changeover(Section s) {
    Site.Changeover.Kind kind = s.choice("kind", Site.Changeover.Kind.class, "");
    double operateS = s.quantity("operateTime", Dimension.TIME, 0.001, 2, "");
    double deadS =
        s.quantity("deadTime", Dimension.TIME, 0.001, 10, "Break before make: it is never zero.");
    if (kind == Site.Changeover.Kind.MANUAL) {
      return new Site.Changeover(kind, operateS, deadS, 0, 0, Site.Changeover.Prefer.UTILITY, 1);
    }
    double lossBelow = s.quantity("lossBelow", Dimension.PER_UNIT, 0, 0.95, "");
    double lossS = s.quantity("lossTime", Dimension.TIME, 0.001, 10, "");
    Site.Changeover.Prefer prefer = s.choice("prefer", Site.Changeover.Prefer.class, "");
    double above =
        prefer == Site.Changeover.Prefer.BATTERY
            ? s.quantity(
                "batteryAbove", Dimension.RATIO, 0, 1, "Loads move onto the inverter above it.")
            : 1;
    return new Site.Changeover(kind, operateS, deadS, lossBelow, lossS, prefer, above);
  }

  static Site.Pv pv(Section s) {
    Site.Module module = s.section("module", "Give the datasheet's points.", PartsReader::module);
    int series = (int) s.integer("series", 1, 50, "Modules in one string.");
    int parallel = (int) s.integer("parallel", 1, 200, "Strings side by side.");
    Site.Pv pv =
        new Site.Pv(
            module,
            series,
            parallel,
            s.quantity("tilt", Dimension.ANGLE, 0, 90, "From horizontal."),
            s.quantity(
                "azimuth", Dimension.ANGLE, 0, 360, "Clockwise from north: south is 180 deg."),
            s.has("sky") ? s.choice("sky", Site.Sky.class, "") : Site.Sky.ISOTROPIC,
            s.has("shade")
                ? s.sections("shade", "", e -> shade(e, module, series, parallel))
                : List.of());
    oneShadeAtATime(s, pv.shade());
    return pv;
  }

  private static Site.Shade shade(Section s, Site.Module module, int series, int parallel) {
    int groups = module.bypassDiodes();
    return new Site.Shade(
        (int) s.integer("strings", 1, parallel, "How many strings it lies on."),
        (int) s.integer("modules", 1, series, "How many modules of each of those strings."),
        s.has("substrings")
            ? (int) s.integer("substrings", 1, groups, "Groups of cells with one bypass diode.")
            : groups,
        s.quantity("light", Dimension.RATIO, 0, 1, "What is left of it."),
        s.spans("between", "Local standard time: the sun knows no daylight saving."));
  }

  private static void oneShadeAtATime(Section s, List<Site.Shade> shades) {
    BitSet taken = new BitSet();
    for (int i = 0; i < shades.size(); i++) {
      for (Site.MinuteSpan span : shades.get(i).between()) {
        BitSet minutes = Spans.minutes(span);
        if (minutes.intersects(taken)) {
          s.wrong(
              "shade." + (i + 1) + ".between",
              "times in which no other shade lies on the array",
              "Split the times, and say in each entry all that is in shade then.");
        }
        taken.or(minutes);
      }
    }
  }

  private static Site.Module module(Section s) {
    Site.Module module =
        new Site.Module(
            s.quantity("isc", Dimension.CURRENT, 0.1, 30, ""),
            s.quantity("voc", Dimension.VOLTAGE, 1, 200, ""),
            s.quantity("imp", Dimension.CURRENT, 0.1, 30, ""),
            s.quantity("vmp", Dimension.VOLTAGE, 1, 200, ""),
            (int) s.integer("cells", 1, 300, "Cells in series."),
            s.quantity("ki", Dimension.CURRENT_PER_KELVIN, -0.05, 0.05, ""),
            s.quantity("kv", Dimension.VOLTAGE_PER_KELVIN, -2, 0, "It falls as cells warm."),
            s.quantity("noct", Dimension.TEMPERATURE, 30, 70, ""),
            s.has("bypassDiodes")
                ? (int) s.integer("bypassDiodes", 1, 20, "Each over an equal group of cells.")
                : USUAL_BYPASS_DIODES);
    if (module.impA() >= module.iscA()) {
      s.wrong("imp", "less than isc", "The current at maximum power is below short circuit.");
    }
    if (module.vmpV() >= module.vocV()) {
      s.wrong("vmp", "less than voc", "The voltage at maximum power is below open circuit.");
    }
    return module;
  }

  static Site.Regulator regulator(Section s) {
    Site.RegulatorKind kind =
        s.has("kind") ? s.choice("kind", Site.RegulatorKind.class, "") : Site.RegulatorKind.MPPT;
    double ratedA =
        s.quantity("ratedCurrent", Dimension.CURRENT, 1, 5000, "On the battery's side.");
    double idleW = s.quantity("idle", Dimension.POWER, 0, 500, "");
    // What the other kind needs may stand there too, so that one setting tries the other kind.
    boolean tracks = kind == Site.RegulatorKind.MPPT;
    Optional<Site.Efficiency> efficiency =
        tracks || s.has("efficiency")
            ? Optional.of(s.section("efficiency", "", PartsReader::efficiency))
            : Optional.empty();
    double dropV =
        !tracks || s.has("drop")
            ? s.quantity("drop", Dimension.VOLTAGE, 0, 2, "Of a PWM regulator's switch and diode.")
            : 0;
    return new Site.Regulator(ratedA, efficiency, idleW, kind, dropV);
  }

  private static Site.Efficiency efficiency(Section s) {
    String advice = "Take it from the efficiency curve.";
    return new Site.Efficiency(
        s.quantity("at10", Dimension.RATIO, 0.3, 0.999, advice),
        s.quantity("at50", Dimension.RATIO, 0.3, 0.999, advice),
        s.quantity("at100", Dimension.RATIO, 0.3, 0.999, advice));
  }

  static InverterPart inverter(Section s, Site.Arrangement arrangement) {
    boolean charges = arrangement.hasTie();
    if (!charges && s.has("chargeCurrent")) {
      s.wrong(
          "chargeCurrent",
          "no chargeCurrent, since the inverter does not charge in this arrangement",
          "Take it out.");
    }
    double ownV = Double.NaN;
    double ownHz = Double.NaN;
    if (!arrangement.hasUtility()) {
      ownV = s.quantity("outputVoltage", Dimension.VOLTAGE, 100, 690, "");
      ownHz = s.quantity("outputFrequency", Dimension.FREQUENCY, 45, 65, "");
    }
    Site.Inverter inverter =
        new Site.Inverter(
            s.quantity("ratedPower", Dimension.POWER, 100, 1e5, ""),
            s.quantity("surgePower", Dimension.POWER, 100, 3e5, ""),
            s.quantity("surgeTime", Dimension.TIME, 0.01, 60, ""),
            s.section("efficiency", "", PartsReader::efficiency),
            s.quantity("idle", Dimension.POWER, 0, 1000, ""),
            charges
                ? s.quantity("chargeCurrent", Dimension.CURRENT, 0, 5000, "0 A for no charger.")
                : 0,
            s.quantity("dcMinimum", Dimension.VOLTAGE, 8, 400, ""),
            s.quantity("dcMaximum", Dimension.VOLTAGE, 12, 600, ""),
            s.quantity("startTime", Dimension.TIME, 0.001, 120, ""),
            s.has("surge") ? s.sections("surge", "", PartsReader::surgePoint) : List.of(),
            s.has("thermal")
                ? Optional.of(s.section("thermal", "", PartsReader::thermal))
                : Optional.empty());
    surgeFalls(s, inverter);
    if (inverter.surgeW() < inverter.ratedW()) {
      s.wrong("surgePower", "ratedPower or more", "");
    }
    if (inverter.dcMinimumV() >= inverter.dcMaximumV()) {
      s.wrong("dcMinimum", "less than dcMaximum", "");
    }
    return new InverterPart(inverter, new Site.Utility(ownV, ownHz, 1, 0, 0, 0));
  }

  private static Site.SurgePoint surgePoint(Section s) {
    return new Site.SurgePoint(
        s.quantity("power", Dimension.POWER, 100, 3e5, ""),
        s.quantity("for", Dimension.TIME, 0.01, 7200, ""));
  }

  /** Each further point must be a smaller surge that lasts longer. */
  private static void surgeFalls(Section s, Site.Inverter inverter) {
    double powerW = inverter.surgeW();
    double forS = inverter.surgeS();
    for (Site.SurgePoint point : inverter.surge()) {
      if (point.powerW() >= powerW || point.forS() <= forS) {
        s.wrong(
            "surge",
            Dimension.POWER.text(point.powerW()) + " for " + Dimension.TIME.text(point.forS()),
            "less than "
                + Dimension.POWER.text(powerW)
                + " for more than "
                + Dimension.TIME.text(forS),
            "Give the points after surgePower and surgeTime from the highest power to the lowest.");
      }
      powerW = point.powerW();
      forS = point.forS();
    }
    if (!inverter.surge().isEmpty() && powerW <= inverter.ratedW()) {
      s.wrong("surge", "powers above ratedPower", "What is rated lasts for ever.");
    }
  }

  private static Site.Thermal thermal(Section s) {
    Site.Thermal thermal =
        new Site.Thermal(
            s.quantity("rise", Dimension.TEMPERATURE_RISE, 1, 150, "At rated power for ever."),
            s.quantity("timeConstant", Dimension.TIME, 1, 86_400, ""),
            s.quantity("derateFrom", Dimension.TEMPERATURE, 20, 150, "Full rating up to here."),
            s.quantity("derateTo", Dimension.TEMPERATURE, 20, 200, "None left from here on."));
    if (thermal.derateFromC() >= thermal.derateToC()) {
      s.wrong("derateFrom", "less than derateTo", "");
    }
    return thermal;
  }

  static Site.Tie tie(Section s) {
    Site.Tie tie =
        new Site.Tie(
            s.quantity(
                "operateTime", Dimension.TIME, 0.001, 2, "From the order to the end of travel."),
            s.quantity("lossBelow", Dimension.PER_UNIT, 0, 0.9, ""),
            s.quantity("lossTime", Dimension.TIME, 0.001, 2, ""),
            s.quantity("separateBelow", Dimension.PER_UNIT, 0, 0.95, ""),
            s.quantity("separateTime", Dimension.TIME, 0.001, 10, ""));
    if (tie.lossBelowPu() > tie.separateBelowPu()) {
      s.wrong("lossBelow", "separateBelow or less", "A lost utility is the deeper of the two.");
    }
    return tie;
  }
}
