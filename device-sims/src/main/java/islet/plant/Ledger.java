package islet.plant;

import java.util.Arrays;

/**
 * Energy and charge by flow, and the proof that none is made or lost.
 *
 * <p>Every term is booked by the part it belongs to, from that part's own quantities; none is a
 * remainder of others. After each step four energy balances (whole plant, battery, DC side, AC
 * side) and one of charge must close to {@value #TOLERANCE} of the larger side or {@value #FLOOR_J}
 * J, and so must the running totals against the wells' state.
 */
// Plain arrays by ordinal keep the hot path free of maps; the order never leaves this class.
@SuppressWarnings("EnumOrdinal")
public final class Ledger {
  static final double TOLERANCE = 1e-6;
  static final double FLOOR_J = 1e-6;
  private static final double FLOOR_C = 1e-8;

  /** Rounding of the state function itself over a long run. */
  private static final double RUNNING_FLOOR = 1e-10;

  private static final Flow[] FLOWS = Flow.values();

  private static final Flow[] PLANT_IN = {Flow.PV, Flow.UTILITY_SOURCE};
  private static final Flow[] PLANT_OUT = {
    Flow.REGULATOR_LOSS,
    Flow.CHARGER_LOSS,
    Flow.CABLE_LOSS,
    Flow.BATTERY_OHMIC_LOSS,
    Flow.BATTERY_GAS_LOSS,
    Flow.BATTERY_SELF_DISCHARGE,
    Flow.BATTERY_MIXING_LOSS,
    Flow.BATTERY_FADE_LOSS,
    Flow.STORED_CHANGE,
    Flow.INVERTER_LOSS,
    Flow.INVERTER_IDLE,
    Flow.CRITICAL,
    Flow.NONCRITICAL,
    Flow.SERVICE_LOSS,
    Flow.LINE_LOAD
  };
  private static final Flow[] BATTERY_IN = {Flow.BATTERY_IN};
  private static final Flow[] BATTERY_OUT = {
    Flow.BATTERY_OUT,
    Flow.BATTERY_OHMIC_LOSS,
    Flow.BATTERY_GAS_LOSS,
    Flow.BATTERY_SELF_DISCHARGE,
    Flow.BATTERY_MIXING_LOSS,
    Flow.BATTERY_FADE_LOSS,
    Flow.STORED_CHANGE
  };
  private static final Flow[] DC_IN = {
    Flow.PV, Flow.BATTERY_OUT, Flow.INVERTER_FROM_AC, Flow.CHARGER_FROM_AC
  };
  private static final Flow[] DC_OUT = {
    Flow.REGULATOR_LOSS,
    Flow.CHARGER_LOSS,
    Flow.CABLE_LOSS,
    Flow.BATTERY_IN,
    Flow.INVERTER_TO_AC,
    Flow.INVERTER_LOSS,
    Flow.INVERTER_IDLE
  };
  private static final Flow[] AC_IN = {Flow.IMPORT, Flow.INVERTER_TO_AC};
  private static final Flow[] AC_OUT = {
    Flow.EXPORT, Flow.INVERTER_FROM_AC, Flow.CHARGER_FROM_AC, Flow.CRITICAL, Flow.NONCRITICAL
  };

  private final double[] step = new double[FLOWS.length];
  private final double[] total = new double[FLOWS.length];
  private final double[] falsified = new double[FLOWS.length];

  private double stepInC;
  private double stepOutC;
  private double stepGasC;
  private double stepSelfDischargeC;
  private double stepFadeC;
  private double stepWellsC;
  private double totalInC;
  private double totalOutC;
  private double totalGasC;
  private double totalSelfDischargeC;
  private double totalFadeC;
  private double falsifiedGas = 1;

  private double startJ;
  private double startC;
  private long steps;

  Ledger(double storedJ, double wellsC) {
    this.startJ = storedJ;
    this.startC = wellsC;
    Arrays.fill(falsified, 1);
  }

  void beginStep() {
    Arrays.fill(step, 0);
    stepFadeC = 0;
  }

  void add(Flow flow, double joules) {
    step[flow.ordinal()] += joules * falsified[flow.ordinal()];
  }

  void addCharge(double inC, double outC, double gasC, double selfDischargeC, double wellsC) {
    stepInC = inC;
    stepOutC = outC;
    stepGasC = gasC * falsifiedGas;
    stepSelfDischargeC = selfDischargeC;
    stepWellsC = wellsC;
  }

  /** Books what active material took along when it was lost; after {@link #addCharge}. */
  void fade(double joules, double coulombs) {
    add(Flow.BATTERY_FADE_LOSS, joules);
    add(Flow.STORED_CHANGE, -joules);
    stepFadeC = coulombs;
    stepWellsC -= coulombs;
  }

  /** Closes a step: adds it to the totals and checks every balance. */
  void endStep(double storedJ, double wellsC, long epochMicros) {
    steps++;
    for (int i = 0; i < total.length; i++) {
      total[i] += step[i];
    }
    totalInC += stepInC;
    totalOutC += stepOutC;
    totalGasC += stepGasC;
    totalSelfDischargeC += stepSelfDischargeC;
    totalFadeC += stepFadeC;
    balance("the whole plant", step, PLANT_IN, PLANT_OUT, FLOOR_J, epochMicros);
    balance("the battery", step, BATTERY_IN, BATTERY_OUT, FLOOR_J, epochMicros);
    balance("the DC side", step, DC_IN, DC_OUT, FLOOR_J, epochMicros);
    balance("the AC side", step, AC_IN, AC_OUT, FLOOR_J, epochMicros);
    balance("the whole run", total, PLANT_IN, PLANT_OUT, runningFloorJ(), epochMicros);
    double storedChange = storedJ - startJ;
    double summed = joules(Flow.STORED_CHANGE);
    if (!(Math.abs(storedChange - summed)
        <= TOLERANCE * Math.max(Math.abs(storedChange), Math.abs(summed)) + runningFloorJ())) {
      throw new BooksException(
          "The battery's stored energy doesn't match its flows after step "
              + steps
              + ": the wells changed by "
              + storedChange
              + " J, the booked changes sum up to "
              + summed
              + " J.");
    }
    checkCharge(wellsC);
  }

  /** The state function is a large number whose rounding sums up with the steps. */
  private double runningFloorJ() {
    return FLOOR_J + RUNNING_FLOOR * Math.abs(startJ);
  }

  private void checkCharge(double wellsC) {
    double left = stepInC - stepOutC - stepGasC - stepSelfDischargeC - stepFadeC - stepWellsC;
    double side = Math.max(stepInC, stepOutC) + stepGasC + stepSelfDischargeC;
    double totalLeft =
        totalInC - totalOutC - totalGasC - totalSelfDischargeC - totalFadeC - (wellsC - startC);
    double totalSide = Math.max(totalInC, totalOutC) + RUNNING_FLOOR / TOLERANCE * startC;
    if (!(Math.abs(left) <= TOLERANCE * side + FLOOR_C)
        || !(Math.abs(totalLeft) <= TOLERANCE * totalSide + FLOOR_C)) {
      throw new BooksException(
          "The battery's charge doesn't balance in step "
              + steps
              + ": in "
              + stepInC
              + " C, out "
              + stepOutC
              + " C, gas "
              + stepGasC
              + " C, self-discharge "
              + stepSelfDischargeC
              + " C, fade "
              + stepFadeC
              + " C, change of the wells "
              + stepWellsC
              + " C; left over "
              + left
              + " C in the step and "
              + totalLeft
              + " C in the run.");
    }
  }

  private void balance(
      String what, double[] terms, Flow[] in, Flow[] out, double floorJ, long epochMicros) {
    double given = 0;
    double taken = 0;
    for (Flow flow : in) {
      double t = terms[flow.ordinal()];
      given += Math.max(0, t);
      taken += Math.max(0, -t);
    }
    for (Flow flow : out) {
      double t = terms[flow.ordinal()];
      taken += Math.max(0, t);
      given += Math.max(0, -t);
    }
    if (!(Math.abs(given - taken) <= TOLERANCE * Math.max(given, taken) + floorJ)) {
      throw unbalanced(what, epochMicros, in, out, terms, given - taken);
    }
  }

  private BooksException unbalanced(
      String what, long epochMicros, Flow[] in, Flow[] out, double[] terms, double left) {
    StringBuilder text = new StringBuilder(400);
    text.append("The energy of ")
        .append(what)
        .append(" doesn't balance in step ")
        .append(steps)
        .append(" at ")
        .append(epochMicros)
        .append(" µs: left over ")
        .append(left)
        .append(" J. In:");
    list(text, in, terms);
    text.append("; out:");
    list(text, out, terms);
    return new BooksException(text.append('.').toString());
  }

  private static void list(StringBuilder text, Flow[] flows, double[] terms) {
    for (Flow flow : flows) {
      text.append(' ').append(flow).append(' ').append(terms[flow.ordinal()]).append(" J");
    }
  }

  /** Energy that left the wells at once, as when a cell shorts: booked as resistive loss, J. */
  void writeOff(double joules) {
    writeOff(joules, 0);
  }

  /** The same, with the charge that a lost part of the battery held, C. */
  void writeOff(double joules, double coulombs) {
    totalFadeC += coulombs;
    total[Flow.BATTERY_OHMIC_LOSS.ordinal()] += joules;
    total[Flow.STORED_CHANGE.ordinal()] -= joules;
  }

  /** Spoils a term from now on, so that a test can see the books notice. */
  void falsify(Flow flow, double factor) {
    falsified[flow.ordinal()] = factor;
  }

  /** Spoils the gas charge from now on. */
  void falsifyGasCharge(double factor) {
    falsifiedGas = factor;
  }

  /** Energy of a flow since the start, J. */
  public double joules(Flow flow) {
    return total[flow.ordinal()];
  }

  /** Energy lost in the battery in all ways since the start, J. */
  public double batteryLossJ() {
    return joules(Flow.BATTERY_OHMIC_LOSS)
        + joules(Flow.BATTERY_GAS_LOSS)
        + joules(Flow.BATTERY_SELF_DISCHARGE)
        + joules(Flow.BATTERY_MIXING_LOSS)
        + joules(Flow.BATTERY_FADE_LOSS);
  }

  /** Charge into the battery's terminals since the start, C. */
  public double chargeInC() {
    return totalInC;
  }

  /** Charge out of the battery's terminals since the start, C. */
  public double chargeOutC() {
    return totalOutC;
  }

  /** Charge that made gas since the start, C. */
  public double chargeGasC() {
    return totalGasC;
  }

  /** Charge that was lost with active material since the start, C. */
  public double chargeFadeC() {
    return totalFadeC;
  }

  /** Steps booked so far. */
  public long steps() {
    return steps;
  }
}
