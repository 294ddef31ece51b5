package islet.control;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.InverterTrip;
import islet.contract.OperatorOrder;
import islet.contract.TieTrip;
import islet.site.GridProfile.Quantity;
import islet.site.GridProfile.Trip;
import islet.site.Site;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Consumer;
import java.util.function.Predicate;

/**
 * The grid of inputs of an exploration: every combination of utility, contact, panel and inverter,
 * alone and with each oddity, or with each pair of oddities.
 */
final class FieldGrid {

  /** The utilities of the ordinary grid; others are oddities of a good one. */
  private enum Utility {
    GONE(0),
    /** Below a limit of the profile, not yet for the clearing time. */
    RIDING(0.8),
    /** The same for longer. */
    OUT(0.8),
    GOOD(1);

    private final double pu;

    Utility(double pu) {
      this.pu = pu;
    }
  }

  private static final List<InverterState> INVERTER =
      List.of(
          InverterState.OFF,
          InverterState.FOLLOWING,
          InverterState.FORMING,
          InverterState.SYNCHRONISING,
          InverterState.FAULT);

  /** What oddities have to do with. */
  enum Family {
    LINKS,
    UTILITY,
    BATTERY,
    CHARGING,
    OPERATOR
  }

  /** Something out of the ordinary, and where it means anything. */
  private record Oddity(
      String says, Predicate<Field> where, Consumer<Field> field, Map<String, Long> memory) {}

  /** How the panel behind the switch lives. */
  private enum Panel {
    DEAD,
    /** Otherwise than the utility: another frequency, another angle. */
    APART,
    /** Within the limits of a sync check, but visibly another source. */
    IN_STEP,
    /** Exactly as the utility does. */
    SAME
  }

  private final Site site;
  private final boolean lies;
  private final boolean tied;
  private final List<Oddity> oddities = new ArrayList<>();
  private final List<Choice> choices = new ArrayList<>();

  /**
   * A grid for a site.
   *
   * @param lies whether contact, panel and inverter may contradict each other without being an
   *     oddity
   * @param families the oddities that may come
   * @param most how many of them may come together, 0 to 2
   */
  FieldGrid(Site site, boolean lies, Set<Family> families, int most) {
    this.site = site;
    this.lies = lies;
    tied = site.arrangement().hasTie();
    for (Family family : families) {
      switch (family) {
        case LINKS -> links();
        case UTILITY -> utility();
        case BATTERY -> battery();
        case CHARGING -> charging();
        case OPERATOR -> operator();
      }
    }
    build(most);
  }

  List<Choice> choices() {
    return choices;
  }

  private void links() {
    boolean switched = site.arrangement().hasSwitch();
    if (switched) {
      odd("tie late", f -> f.tieAge = Field.LATE);
      odd("tie silent", f -> f.tieAge = Field.SILENT);
      odd("tie and inverter silent", f -> f.tieAge = f.inverterAge = Field.SILENT);
      odd("tie and meter silent", f -> f.tieAge = f.meterAge = Field.SILENT);
    }
    if (site.arrangement().hasCharger()) {
      odd("charger silent", f -> f.chargerAge = Field.SILENT);
    }
    odd("inverter late", f -> f.inverterAge = Field.LATE);
    odd("inverter silent", f -> f.inverterAge = Field.SILENT);
    odd("meter silent", f -> f.meterAge = Field.SILENT);
    odd("regulator silent", f -> f.regulatorAge = Field.SILENT);
    odd(
        "all silent",
        f -> f.tieAge = f.inverterAge = f.meterAge = f.regulatorAge = f.chargerAge = Field.SILENT);
    odd(
        "inverter starting",
        f -> f.inverter == InverterState.OFF,
        f -> f.inverter = InverterState.STARTING);
  }

  private void utility() {
    if (site.arrangement().hasSwitch()) {
      odd("coil told otherwise", f -> f.orderedClosed = !f.contactClosed);
      odd("opened by its own protection", f -> !f.contactClosed, f -> f.tieTrip = TieTrip.LOSS);
      odd("dipped between scans", f -> f.utilityPu == 1, f -> f.dipped = true);
      odd("contact lies", f -> f.contactClosed = !f.contactClosed);
    }
    odd("meter sees the panel otherwise", f -> f.meterPanelPu = f.meterPanelPu > 0.5 ? 0 : 1);
    odd("utility at 0.90", f -> f.utilityPu == 1, f -> f.utilityPu = 0.90);
    odd("utility at 62.5 Hz", f -> f.utilityPu == 1, f -> f.utilityHz = 62.5);
    oddities.add(
        new Oddity(
            "utility at 62.5 Hz for long",
            f -> f.utilityPu == 1,
            f -> f.utilityHz = 62.5,
            outFor(Quantity.OVER_FREQUENCY)));
  }

  /** The clearing times of a quantity have run out. */
  private Map<String, Long> outFor(Quantity quantity) {
    Map<String, Long> since = new TreeMap<>();
    for (Trip trip : site.profile().trips()) {
      if (trip.quantity() == quantity) {
        since.put(trip.name(), StateCode.OLD);
      }
    }
    return since;
  }

  private void battery() {
    odd(
        "for low DC voltage",
        f -> f.inverter == InverterState.FAULT,
        f -> f.inverterTrip = InverterTrip.DC_LOW);
    double lowV = site.battery().limits().disconnectV();
    double floor = site.battery().limits().floorSoc();
    odd("battery voltage low", f -> f.batteryV = lowV);
    odd("no valid battery voltage", f -> f.batteryV = 0);
    soc("battery at its floor", floor);
    soc("battery between floor and recovery", floor + 0.06);
    soc("battery full", 0.97);
  }

  private void charging() {
    double highV = site.battery().limits().maximumV() + 0.01 * site.battery().nominalV();
    odd("battery voltage too high", f -> f.batteryV = highV);
    odd("battery freezing", f -> f.temperatureC = -30);
    odd("much sun", f -> f.sunA = 85);
    odd(
        "much sun and load",
        f -> {
          f.sunA = 40;
          f.drawA = 70;
        });
    odd(
        "inverter silent after much load",
        f -> {
          f.inverterAge = Field.SILENT;
          f.drawA = 70;
        });
    oddities.add(
        new Oddity(
            "afloat at a low voltage",
            f -> true,
            f -> f.batteryV = site.battery().limits().disconnectV(),
            Map.of("stage", (long) ChargeStage.FLOAT.ordinal())));
    given("afloat", Map.of("stage", (long) ChargeStage.FLOAT.ordinal()));
    given(
        "absorption about to end",
        Map.of("stage", (long) ChargeStage.ABSORPTION.ordinal(), "tail", StateCode.OLD));
    given("below the reserve", Map.of("below reserve", 1L));
    given("power ramp begun", Map.of("ramp", Field.NOW - 1));
  }

  private void soc(String says, double soc) {
    oddities.add(
        new Oddity(
            says, f -> true, f -> f.soc = soc, Map.of("soc", Double.doubleToRawLongBits(soc))));
  }

  private void operator() {
    EnumSet<OperatorOrder> orders =
        EnumSet.of(
            OperatorOrder.ISLAND,
            OperatorOrder.RECONNECT,
            OperatorOrder.HOLD,
            OperatorOrder.RELEASE,
            OperatorOrder.ACKNOWLEDGE,
            OperatorOrder.RESET);
    // Who begins what doubles the states; the tie's site stands for all. The mode machine reads
    // nothing of shelves, overrides and equalising, which the random walks try.
    if (tied) {
      orders.add(OperatorOrder.AUTO);
      orders.add(OperatorOrder.MANUAL);
    }
    for (OperatorOrder order : orders) {
      odd("operator: " + order, f -> f.order = Optional.of(order));
    }
  }

  private void odd(String says, Consumer<Field> change) {
    odd(says, f -> true, change);
  }

  private void odd(String says, Predicate<Field> where, Consumer<Field> change) {
    oddities.add(new Oddity(says, where, change, Map.of()));
  }

  private void given(String says, Map<String, Long> memory) {
    oddities.add(new Oddity(says, f -> true, f -> {}, memory));
  }

  private void build(int most) {
    boolean[] contacts =
        site.arrangement().hasSwitch() ? new boolean[] {false, true} : new boolean[] {false};
    for (Utility utility : Utility.values()) {
      for (boolean closed : contacts) {
        for (InverterState state : INVERTER) {
          for (Panel panel : Panel.values()) {
            if (means(panel, utility, state)
                && (lies || plausible(panel, utility, closed, state))) {
              add(utility, closed, state, panel, most);
            }
          }
        }
      }
    }
  }

  /** Leaves out what would be the same twice. */
  private boolean means(Panel panel, Utility utility, InverterState state) {
    if (!site.arrangement().hasSwitch()) {
      return panel == (forms(state) ? Panel.APART : Panel.DEAD);
    }
    if (panel == Panel.DEAD || panel == Panel.APART) {
      return true;
    }
    return utility.pu > 0 && (panel == Panel.SAME || (tied && utility == Utility.GOOD));
  }

  /** Nobody lies and nothing has failed but what is seen to. */
  private boolean plausible(Panel panel, Utility utility, boolean closed, InverterState state) {
    if (closed) {
      return panel == (utility == Utility.GONE ? Panel.DEAD : Panel.SAME)
          && !(tied && forms(state));
    }
    return forms(state)
        ? panel != Panel.DEAD && (tied || panel == Panel.APART)
        : panel == Panel.DEAD;
  }

  private static boolean forms(InverterState state) {
    return state == InverterState.FORMING || state == InverterState.SYNCHRONISING;
  }

  private void add(Utility utility, boolean closed, InverterState state, Panel panel, int most) {
    String says =
        "utility "
            + utility
            + (site.arrangement().hasSwitch() ? ", contact " + (closed ? "closed" : "open") : "")
            + ", panel "
            + panel
            + ", inverter "
            + state;
    List<Oddity> none = List.of();
    choices.add(choice(says, utility, closed, state, panel, none));
    for (int i = 0; most > 0 && i < oddities.size(); i++) {
      Oddity first = oddities.get(i);
      if (!first.where.test(field(utility, closed, state, panel))) {
        continue;
      }
      choices.add(choice(says, utility, closed, state, panel, List.of(first)));
      for (int j = i + 1; most > 1 && j < oddities.size(); j++) {
        Oddity second = oddities.get(j);
        Field f = field(utility, closed, state, panel);
        first.field.accept(f);
        if (second.where.test(f)) {
          choices.add(choice(says, utility, closed, state, panel, List.of(first, second)));
        }
      }
    }
  }

  private Choice choice(
      String says,
      Utility utility,
      boolean closed,
      InverterState state,
      Panel panel,
      List<Oddity> odd) {
    Field f = field(utility, closed, state, panel);
    StringBuilder words = new StringBuilder(says);
    Map<String, Long> memory =
        new TreeMap<>(utility == Utility.OUT ? outFor(Quantity.UNDER_VOLTAGE) : Map.of());
    for (Oddity o : odd) {
      o.field.accept(f);
      memory.putAll(o.memory);
      words.append(", ").append(o.says);
    }
    return new Choice(words.toString(), f, memory, odd.size());
  }

  private Field field(Utility utility, boolean closed, InverterState state, Panel panel) {
    Field f = new Field();
    f.nominalV = site.battery().nominalV();
    f.batteryV = 49.6 / 48 * f.nominalV;
    f.utilityPu = utility.pu;
    f.contactClosed = closed;
    f.orderedClosed = closed;
    f.inverter = state;
    f.inverterTrip = state == InverterState.FAULT ? InverterTrip.OVERLOAD : InverterTrip.NONE;
    f.panelPu = panel == Panel.DEAD ? 0 : panel == Panel.APART || utility.pu == 0 ? 1 : utility.pu;
    f.meterPanelPu = f.panelPu;
    f.inverterPu = tied ? f.panelPu : forms(state) ? 1 : 0;
    switch (panel) {
      case DEAD -> {}
      case APART -> {
        f.panelHz = Field.ISLAND_HZ;
        f.angleDeg = 90;
      }
      case IN_STEP -> {
        f.panelHz = f.utilityHz + 0.05;
        f.angleDeg = 5;
      }
      case SAME -> f.panelHz = f.utilityHz;
    }
    return f;
  }
}
