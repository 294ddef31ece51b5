package islet.site;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;

/**
 * One site, as its file describes it: where it is, how the parts are joined, what each part can do
 * and how the supervisor shall run it.
 *
 * @param id the segment that names the site in MQTT topics: lower-case letters, digits and hyphens
 * @param name the name a person reads
 * @param place where the site stands
 * @param arrangement how the parts are joined
 * @param utility the utility's service; in a stand-alone site only its nominal values count, which
 *     are the inverter's
 * @param profile the grid code limits that the site runs under
 * @param pv the array
 * @param regulator the charge regulator between array and DC bus
 * @param battery the bank, its limits and its charge set points
 * @param charger the charger that is a unit of its own, where there is one
 * @param inverter the combined charger and inverter; the inverter alone beside a charger
 * @param tie the switch between main panel and emergency panel, where there is one
 * @param changeover the changeover switch, where there is one
 * @param circuits every load circuit, in the order in which the panels list them
 * @param supervision how the supervisor runs the site
 * @param tariff what energy costs
 */
public record Site(
    String id,
    String name,
    Place place,
    Arrangement arrangement,
    Utility utility,
    GridProfile profile,
    Pv pv,
    Regulator regulator,
    Battery battery,
    Optional<Charger> charger,
    Inverter inverter,
    Optional<Tie> tie,
    Optional<Changeover> changeover,
    List<Circuit> circuits,
    Supervision supervision,
    Tariff tariff) {

  public Site {
    circuits = List.copyOf(circuits);
  }

  /** The most current that charging from the utility can give, A. */
  public double utilityChargeA() {
    return arrangement.hasTie()
        ? inverter.ratedChargeA()
        : charger.map(Charger::ratedA).orElse(0.0);
  }

  /** Below half the nominal voltage nothing works that is not built for it, common practice. */
  private static final double GONE_PU = 0.5;

  /** Below this the utility counts as gone, per unit. */
  public double goneBelowPu() {
    return tie.map(Tie::lossBelowPu)
        .orElseGet(
            () -> changeover.filter(c -> !c.manual()).map(Changeover::lossBelowPu).orElse(GONE_PU));
  }

  /** The longest that the switch needs from an order until its contacts rest, s. */
  public double switchTravelS() {
    return tie.map(Tie::operateS)
        .orElseGet(() -> changeover.map(c -> c.operateS() + c.deadS()).orElse(0.0));
  }

  /** How the parts are joined; the file writes the name with a hyphen, {@code two-panel}. */
  public enum Arrangement {
    /** No utility: the inverter carries all loads. */
    STANDALONE,
    /** The utility only charges, through a charger of its own; the inverter carries all loads. */
    CHARGER_ONLY,
    /** The same with a changeover switch that puts the loads on the utility or on the inverter. */
    CHANGEOVER,
    /** Combined charger and inverter behind a tie; it charges and carries, but never feeds. */
    INVERTER_CHARGER,
    /** The same, and it feeds the loads and the utility while connected. */
    GRID_INTERACTIVE,
    /** Main panel with non-critical loads upstream of the tie, emergency panel downstream. */
    TWO_PANEL;

    /** Whether a utility serves the site. */
    public boolean hasUtility() {
      return this != STANDALONE;
    }

    /** Whether a tie joins utility and inverter on one panel. */
    public boolean hasTie() {
      return this == INVERTER_CHARGER || this == GRID_INTERACTIVE || this == TWO_PANEL;
    }

    /** Whether a changeover switch moves the loads from one source to the other. */
    public boolean hasChangeover() {
      return this == CHANGEOVER;
    }

    /** Whether there is a switch, tie or changeover, that the supervisor has to do with. */
    public boolean hasSwitch() {
      return hasTie() || hasChangeover();
    }

    /** Whether a charger of its own feeds the battery from the utility. */
    public boolean hasCharger() {
      return this == CHARGER_ONLY || this == CHANGEOVER;
    }

    /** Whether the inverter may feed power while it is connected. */
    public boolean mayFeed() {
      return this == GRID_INTERACTIVE || this == TWO_PANEL;
    }
  }

  /** Where the site stands. Latitude north positive, longitude east positive. */
  public record Place(
      double latitudeDeg, double longitudeDeg, double altitudeM, double albedo, ZoneId zone) {}

  /**
   * The utility's service.
   *
   * @param lineLoadW what neighbours' loads are left on the line when the utility's source opens
   *     upstream
   */
  public record Utility(
      double nominalV,
      double nominalHz,
      double serviceOhm,
      double serviceReactanceOhm,
      double lineLoadW,
      double exportLimitW) {}

  /**
   * The PV array: modules in series and strings in parallel, tilt from horizontal, azimuth
   * clockwise from north.
   *
   * @param sky how diffuse light is spread over the sky
   * @param shade what shades a part of it, in the file's order; no two at the same time
   */
  public record Pv(
      Module module,
      int series,
      int parallel,
      double tiltDeg,
      double azimuthDeg,
      Sky sky,
      List<Shade> shade) {
    public Pv {
      shade = List.copyOf(shade);
    }
  }

  /** How diffuse light is spread over the sky. */
  public enum Sky {
    /** Equally all over. */
    ISOTROPIC,
    /** A part of it around the sun. */
    HAY_DAVIES
  }

  /**
   * Shade on a part of the array at the same times of every day.
   *
   * @param strings how many strings it lies on
   * @param modules how many modules of each of those
   * @param substrings how many groups of cells, each with its bypass diode, of each of those
   * @param light share of the light that is left
   * @param between when, in minutes after midnight of local standard time
   */
  public record Shade(
      int strings, int modules, int substrings, double light, List<MinuteSpan> between) {
    public Shade {
      between = List.copyOf(between);
    }
  }

  /** A PV module's datasheet points at standard test conditions. */
  public record Module(
      double iscA,
      double vocV,
      double impA,
      double vmpV,
      int cells,
      double kiAPerK,
      double kvVPerK,
      double noctC,
      int bypassDiodes) {}

  /** Efficiency at 10, 50 and 100 percent of rated power, each from 0 to 1. */
  public record Efficiency(double at10, double at50, double at100) {}

  /**
   * The charge regulator. Its own set points serve when the supervisor is silent.
   *
   * @param efficiency of a tracking one; a PWM regulator doesn't convert and needs none
   * @param dropV of a PWM regulator: across its switch while current flows; 0 when not given
   */
  public record Regulator(
      double ratedA,
      Optional<Efficiency> efficiency,
      double idleW,
      RegulatorKind kind,
      double dropV) {}

  /** How the charge regulator brings the array's power to the bus. */
  public enum RegulatorKind {
    /** It tracks the array's maximum power point and converts. */
    MPPT,
    /** It ties the array to the bus through a switch. */
    PWM
  }

  /**
   * The battery bank.
   *
   * @param nominalV of the class of its equipment: 12, 24, 48 V and up
   * @param roomMinimumC its room follows the outside air but is kept at least this warm
   * @param management the battery management unit; lithium cells have one
   */
  public record Battery(
      Chemistry chemistry,
      double nominalV,
      int cells,
      double capacity20hAh,
      double cableOhm,
      double roomMinimumC,
      Limits limits,
      Charge charge,
      Optional<Management> management) {

    /** Where nothing else is said, the room is kept at 15 °C. */
    public static final double USUAL_ROOM_C = 15;

    /** A bank without a management unit, in a room that is kept at 15 °C. */
    public Battery(
        Chemistry chemistry,
        double nominalV,
        int cells,
        double capacity20hAh,
        double cableOhm,
        Limits limits,
        Charge charge) {
      this(
          chemistry,
          nominalV,
          cells,
          capacity20hAh,
          cableOhm,
          USUAL_ROOM_C,
          limits,
          charge,
          Optional.empty());
    }
  }

  /** The battery's chemistry. */
  public enum Chemistry {
    /** Flooded lead-acid cells. */
    LEAD_ACID,
    /** Lithium iron phosphate cells. */
    LFP
  }

  /**
   * What a battery management unit bears before it acts by itself: it opens the bank's contactor
   * beyond any of these, and refuses charge outside the temperatures of {@link Limits}.
   *
   * @param overV of a cell
   * @param underV of a cell
   * @param chargeA for some seconds
   * @param dischargeA for some seconds
   * @param overC of the cells
   */
  public record Management(
      double overV, double underV, double chargeA, double dischargeA, double overC) {}

  /**
   * What the battery bears. Voltages at the battery's terminals, temperatures of the cells.
   *
   * @param toleranceS how long a limit may be passed before it counts
   */
  public record Limits(
      double maximumV,
      double maximumChargeA,
      double minimumChargeC,
      double maximumChargeC,
      double floorSoc,
      double recoverySoc,
      double disconnectV,
      double reconnectV,
      double toleranceS) {}

  /**
   * Charge set points at 25 °C and at the battery's terminals.
   *
   * @param compensationVPerK change of each voltage set point per kelvin above 25 °C, negative for
   *     lead-acid, for the whole bank
   * @param absorptionS the longest absorption
   * @param tailA absorption ends when the battery takes less than this at the absorption voltage
   * @param rebulkV below this, for a minute, a new charge begins
   * @param equalise where the bank is equalised
   * @param rest where a full bank is left alone
   */
  public record Charge(
      double absorptionV,
      double floatV,
      double compensationVPerK,
      double absorptionS,
      double tailA,
      double rebulkV,
      Optional<Equalise> equalise,
      Optional<Rest> rest) {

    /** A battery that is never equalised and never left alone. */
    public Charge(
        double absorptionV,
        double floatV,
        double compensationVPerK,
        double absorptionS,
        double tailA,
        double rebulkV) {
      this(
          absorptionV,
          floatV,
          compensationVPerK,
          absorptionS,
          tailA,
          rebulkV,
          Optional.empty(),
          Optional.empty());
    }
  }

  /**
   * An equalising charge of a flooded lead-acid bank, right after a full charge.
   *
   * @param voltageV at 25 °C, above absorption
   * @param currentA the most that the battery may take meanwhile
   * @param forS for so long at the voltage
   * @param everyS how often; 0 for only when a person asks
   * @param maximumC the battery no warmer than this
   */
  public record Equalise(
      double voltageV, double currentA, double forS, double everyS, double maximumC) {}

  /**
   * A full battery is left alone.
   *
   * @param afterS after so long at float
   * @param voltageV the bus is held at this, at 25 °C, so that the sun serves the loads and nothing
   *     flows into the battery
   */
  public record Rest(double afterS, double voltageV) {}

  /** A one-way charger from the main panel to the battery. */
  public record Charger(double ratedA, Efficiency efficiency, double idleW) {}

  /**
   * A changeover switch, break before make.
   *
   * @param kind whether it moves by itself and on orders, or by hand
   * @param operateS from the order until its contacts have left the one side
   * @param deadS from there until they have reached the other
   * @param lossBelowPu below this the utility is taken as gone
   * @param lossS for how long before an automatic one moves by itself
   * @param prefer the side on which the loads are put when both are there
   * @param batteryAboveSoc with {@link Prefer#BATTERY}: loads move onto the inverter above this
   *     state of charge, and back at the reserve
   */
  public record Changeover(
      Kind kind,
      double operateS,
      double deadS,
      double lossBelowPu,
      double lossS,
      Prefer prefer,
      double batteryAboveSoc) {

    /** Who moves it. */
    public enum Kind {
      /** Itself, when the utility is gone, and the supervisor. */
      AUTOMATIC,
      /** A person. */
      MANUAL
    }

    /** Where the loads are put when both sources are there. */
    public enum Prefer {
      UTILITY,
      BATTERY
    }

    /** Whether only a person moves it. */
    public boolean manual() {
      return kind == Kind.MANUAL;
    }
  }

  /** The combined charger and inverter. */
  public record Inverter(
      double ratedW,
      double surgeW,
      double surgeS,
      Efficiency efficiency,
      double idleW,
      double ratedChargeA,
      double dcMinimumV,
      double dcMaximumV,
      double startS,
      List<SurgePoint> surge,
      Optional<Thermal> thermal) {
    public Inverter {
      surge = List.copyOf(surge);
    }

    /** An inverter with one point of surge, and of which nothing thermal is said. */
    public Inverter(
        double ratedW,
        double surgeW,
        double surgeS,
        Efficiency efficiency,
        double idleW,
        double ratedChargeA,
        double dcMinimumV,
        double dcMaximumV,
        double startS) {
      this(
          ratedW,
          surgeW,
          surgeS,
          efficiency,
          idleW,
          ratedChargeA,
          dcMinimumV,
          dcMaximumV,
          startS,
          List.of(),
          Optional.empty());
    }
  }

  /** A surge that an inverter bears for a time; points beside {@code surgeW} and {@code surgeS}. */
  public record SurgePoint(double powerW, double forS) {}

  /**
   * A heat sink and what its temperature does to the rating.
   *
   * @param riseK above the room at rated output for ever
   * @param derateFromC full rating up to here
   * @param derateToC none left from here on
   */
  public record Thermal(double riseK, double timeConstantS, double derateFromC, double derateToC) {}

  /**
   * The tie switch between main and emergency panel.
   *
   * @param operateS from the coil's order to the contact's end of travel
   * @param lossBelowPu below this the utility is taken as gone
   * @param lossS for how long before the tie opens by itself
   * @param separateBelowPu with {@link OnSag#SEPARATE}: below this the tie opens for the critical
   *     loads' sake
   * @param separateS for how long
   */
  public record Tie(
      double operateS,
      double lossBelowPu,
      double lossS,
      double separateBelowPu,
      double separateS) {}

  /** One load circuit. */
  public record Circuit(
      String name,
      Panel panel,
      Load load,
      double zShare,
      double iShare,
      double pShare,
      double powerFactor,
      Optional<Inrush> inrush) {
    /** A circuit that starts at its running power. */
    public Circuit(
        String name,
        Panel panel,
        Load load,
        double zShare,
        double iShare,
        double pShare,
        double powerFactor) {
      this(name, panel, load, zShare, iShare, pShare, powerFactor, Optional.empty());
    }
  }

  /** What a motor draws when it starts: a multiple of its running current, for a time. */
  public record Inrush(double factor, double forS) {}

  /** The panel that feeds a circuit. */
  public enum Panel {
    /** The emergency panel, downstream of the tie. */
    CRITICAL,
    /** The main panel, upstream of the tie. */
    NONCRITICAL
  }

  /** What a circuit draws at nominal voltage. */
  public sealed interface Load {}

  /** A steady load. */
  public record ConstantLoad(double powerW) implements Load {}

  /**
   * A column of an hourly file, times a factor.
   *
   * @param file path relative to the working directory, or absolute when it lies elsewhere
   * @param column the column's name without blanks around it; the file may have some
   */
  public record ProfileLoad(String file, String column, double factor) implements Load {}

  /**
   * On between the given times of each day (minutes after local midnight; an interval may pass
   * midnight).
   */
  public record DailyLoad(double powerW, List<MinuteSpan> on) implements Load {
    public DailyLoad {
      on = List.copyOf(on);
    }
  }

  /** A load that cycles, such as a refrigerator. */
  public record CyclingLoad(double powerW, double onS, double offS) implements Load {}

  /**
   * From and to in minutes after local midnight, 0 to 1440; {@code to} before {@code from} passes
   * midnight.
   */
  public record MinuteSpan(int from, int to) {}

  /** Who decides on the charge stage. */
  public enum Coordination {
    /** The supervisor: one stage for the battery, shared by all chargers. */
    SHARED,
    /** Each charger for itself, by its own terminals. */
    NONE
  }

  /**
   * How the supervisor runs the site.
   *
   * @param reserveSoc kept for an outage whenever no reserve window says otherwise
   */
  public record Supervision(
      double scanS,
      double heartbeatS,
      double linkTimeoutS,
      double commandLifetimeS,
      Coordination coordination,
      OnSag onSag,
      double reserveSoc,
      List<ChargeWindow> chargeWindows,
      List<String> shedding,
      double shedBelowSoc,
      double restoreAboveSoc,
      Timeouts timeouts,
      List<ReserveWindow> reserveWindows,
      Dispatch dispatch) {
    public Supervision {
      chargeWindows = List.copyOf(chargeWindows);
      shedding = List.copyOf(shedding);
      reserveWindows = List.copyOf(reserveWindows);
    }

    /** With the same reserve at every hour, and no trade. */
    public Supervision(
        double scanS,
        double heartbeatS,
        double linkTimeoutS,
        double commandLifetimeS,
        Coordination coordination,
        OnSag onSag,
        double reserveSoc,
        List<ChargeWindow> chargeWindows,
        List<String> shedding,
        double shedBelowSoc,
        double restoreAboveSoc,
        Timeouts timeouts) {
      this(
          scanS,
          heartbeatS,
          linkTimeoutS,
          commandLifetimeS,
          coordination,
          onSag,
          reserveSoc,
          chargeWindows,
          shedding,
          shedBelowSoc,
          restoreAboveSoc,
          timeouts,
          List.of(),
          Dispatch.USUAL);
    }
  }

  /**
   * A time of day with a reserve of its own; where two hold, the higher one counts.
   *
   * @param reserveSoc state of charge kept for an outage, above or below the plain reserve
   */
  public record ReserveWindow(MinuteSpan span, double reserveSoc, DaySet days) implements Timed {}

  /** What the tie does in a sag that the grid code would ride through. */
  public enum OnSag {
    /** Stay connected as long as the profile allows, for the utility's sake. */
    RIDE_THROUGH,
    /** Leave at once, for the critical loads' sake. */
    SEPARATE
  }

  /**
   * A time of day in which the battery may be charged from the utility.
   *
   * @param untilSoc charging from the utility stops here
   * @param days the days on which it holds
   */
  public record ChargeWindow(MinuteSpan span, double untilSoc, double maximumA, DaySet days)
      implements Timed {

    /** On every day. */
    public ChargeWindow(MinuteSpan span, double untilSoc, double maximumA) {
      this(span, untilSoc, maximumA, DaySet.EVERY);
    }
  }

  /** The longest that each step of a transition may take. */
  public record Timeouts(
      double startS,
      double openS,
      double formS,
      double synchroniseS,
      double closeS,
      double unloadS) {

    /** Where nothing else is said: ten reports of the devices, of which two or three are needed. */
    static final double USUAL_UNLOAD_S = 10;
  }
}
