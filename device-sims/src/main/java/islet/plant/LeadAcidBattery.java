package islet.plant;

/**
 * A flooded lead-acid bank: two wells for the charge, a resting voltage on the available one, the
 * resistances of Copetti, Lorenzo and Chenlo (Progress in Photovoltaics 1, 1993), and gas.
 *
 * <p>The circuit between the terminals: a gassing branch across them, and in parallel a main branch
 * of resistance and resting voltage. The main branch's current is the unknown in which the whole
 * bus is solved, since everything else follows from it explicitly and rises with it.
 *
 * <p>What differs from the paper, and why: its two open-circuit lines, one for charge and one for
 * discharge, are replaced by one resting voltage that agrees with measured resting banks and makes
 * stored energy a function of state; its state of charge counts from 1.67 times the ten-hour
 * capacity, ours from what the two wells hold, so the discharge term is given the paper's; and the
 * charge term's 0.48 is refitted to {@value #CHARGE_TERM} so that charging at C/10 reaches 2.40 V
 * per cell between 85 and 90 %, where banks do (common practice).
 *
 * <p>In the cold a part of the charge can't be drawn: the paper's capacity falls by half a percent
 * a kelvin. The charge is still there, and comes back with the warmth, so it is not taken out of
 * the wells; instead the drop under discharge grows as if the available well ran dry that much
 * earlier. It is a loss like any other drop, and stored energy stays a function of charge alone.
 * The paper's gain above 25 °C is left out, since a drop can't be negative.
 *
 * <p>Valid from −10 to 45 °C and to about five times the ten-hour current.
 */
final class LeadAcidBattery implements Battery {
  private static final double CHARGE_TERM = 0.23;

  /** Copetti's capacity at vanishing current over the ten-hour capacity. */
  private static final double COPETTI_FULL = 1.67;

  /** Keeps the resistance finite at both ends of charge; our choice. */
  private static final double NEARLY_FULL = 0.004;

  private static final double NEARLY_EMPTY = 0.02;

  /*
   * Gassing current of a cell: I0·C/100 Ah·exp(cv·(V − 2.23 V) + ct·(T − 25 °C)); Schiffer, Sauer,
   * Bindner, Cronin, Lundsager and Kaiser, J. Power Sources 168, 2007 (from memory).
   */
  private static final double GAS_A_PER_AH = 0.020 / 100;
  private static final double GAS_V = 2.23;
  private static final double GAS_PER_V = 11;
  private static final double GAS_PER_K = 0.06;

  /** The exponent is held from here on; it is beyond 3 V per cell, far outside validity. */
  private static final double HIGHEST_GAS_EXPONENT = 12;

  /** Self-discharge doubles with every 10 K (common practice). */
  private static final double SELF_DISCHARGE_PER_K = 0.0693147;

  private static final double MONTH_S = 30 * 86_400.0;
  private static final double REFERENCE_C = 25;

  /** Splitting water takes up this voltage without heat, V per cell (thermoneutral voltage). */
  private static final double THERMONEUTRAL_V = 1.48;

  /** Keeps the midpoint rule's error below a third of what the books allow, even in the knee. */
  private static final double HEAD_PER_STEP = 4e-4;

  /** A quarter of what the books allow. */
  private static final double INNER_SHARE = 0.25e-6;

  /** Capacity lost in the cold, per K (Copetti, Lorenzo and Chenlo 1993, from memory). */
  private static final double COLD_PER_K = 0.005;

  /** The cold's share of the drop sets in over this current, as a part of C10 per hour; ours. */
  private static final double COLD_ONSET = 0.01;

  /** Far beyond any cut-off; keeps the voltage of an ice-cold dry cell finite, V. */
  private static final double MOST_COLD_V = 1.5;

  private final KineticBattery wells;
  private final LeadAcidSpec spec;
  private double cells;
  private double resistanceFactor = 1;
  private final BankHeat heat;
  private final Fade fade;

  private double seconds;
  private double chargeScale;
  private double chargeTerm;
  private double dischargeScale;
  private double dischargeTerm;
  private double gasScaleA;
  private double efficiencyRate;
  private double selfDischargeA;
  private double coldV;

  private double mainA;
  private double gasBranchA;
  private double storedA;
  private double restingV;
  private double restingSlope;
  private double terminalV;
  private double terminalSlope;
  private double terminalA;
  private double terminalASlope;

  LeadAcidBattery(LeadAcidSpec spec, double soc, double health, double temperatureC) {
    this.spec = spec;
    this.cells = spec.cells();
    this.heat = new BankHeat(spec.heatCapacityJPerK(), spec.heatLossWPerK(), temperatureC);
    this.fade = new Fade(spec.capacityC10Ah(), spec.cyclesTo80(), health);
    this.wells =
        new KineticBattery(
            spec.availableShare(), spec.ratePerH() / 3600, spec.fullAh() * 3600 * health, soc);
  }

  /**
   * The resting voltage is taken at the step's middle, so that the energy books close to third
   * order.
   */
  @Override
  public void prepare(double step) {
    seconds = step;
    double warmer = heat.celsius() - REFERENCE_C;
    double soc = wells.soc();
    double toFull = Math.max(NEARLY_FULL, 1 - soc);
    chargeTerm = CHARGE_TERM / power(toFull, 1.2) + 0.036;
    chargeScale = factor(1 - 0.025 * warmer) * resistanceFactor / spec.capacityC10Ah();
    double missing = (1 - soc) * spec.fullAh() / (COPETTI_FULL * spec.capacityC10Ah());
    dischargeTerm = Copetti.dischargeTerm(Math.max(NEARLY_EMPTY, 1 - missing)) + 0.02;
    dischargeScale = factor(1 - 0.007 * warmer) * resistanceFactor / spec.capacityC10Ah();
    gasScaleA = GAS_A_PER_AH * spec.capacityC10Ah() * StrictMath.exp(GAS_PER_K * warmer);
    efficiencyRate = 20.73 * Math.min(0, soc - 1);
    selfDischargeA =
        spec.selfDischargePerMonth()
            * wells.fullC()
            / MONTH_S
            * Math.max(0, Math.min(1, wells.availableHead()))
            * StrictMath.exp(SELF_DISCHARGE_PER_K * warmer);
    double head = wells.availableHead();
    double coldHead = COLD_PER_K * Math.max(0, -warmer) * spec.capacityC10Ah() / spec.fullAh();
    coldV =
        Math.min(MOST_COLD_V, RestingVoltage.kneeV(head - coldHead) - RestingVoltage.kneeV(head));
    restingV = RestingVoltage.volts(head);
    restingSlope = 0;
  }

  /** By exponential and logarithm: the library's own power allocates on Java 17. */
  private static double power(double base, double exponent) {
    return base > 0 ? StrictMath.exp(exponent * StrictMath.log(base)) : 0;
  }

  /** The paper's temperature factors leave their range beyond about 60 °C and −60 °C. */
  private static double factor(double value) {
    return Math.max(0.2, Math.min(3, value));
  }

  @Override
  public void evaluate(double amps) {
    mainA = amps;
    if (seconds > 0) {
      storedA = stored(amps);
      double head = wells.availableHead(storedA, 0.5 * seconds);
      restingV = RestingVoltage.volts(head);
      restingSlope = RestingVoltage.slope(head) * wells.availableHeadSlope(0.5 * seconds);
    }
    double drop;
    double dropSlope;
    if (amps >= 0) {
      double u = power(amps, 0.86);
      drop = amps * chargeScale * (6 / (1 + u) + chargeTerm);
      dropSlope = chargeScale * (6 * (1 + 0.14 * u) / ((1 + u) * (1 + u)) + chargeTerm);
    } else {
      double u = power(-amps, 1.3);
      drop = amps * dischargeScale * (4 / (1 + u) + dischargeTerm);
      dropSlope = dischargeScale * (4 * (1 - 0.3 * u) / ((1 + u) * (1 + u)) + dischargeTerm);
      double onsetA = COLD_ONSET * spec.capacityC10Ah();
      drop += coldV * amps / (onsetA - amps);
      dropSlope += coldV * onsetA / ((onsetA - amps) * (onsetA - amps));
    }
    double cellV = restingV + drop;
    terminalV = cells * cellV;
    terminalSlope = cells * (restingSlope + dropSlope);
    double exponent = GAS_PER_V * (cellV - GAS_V);
    gasBranchA = gasScaleA * StrictMath.exp(Math.min(HIGHEST_GAS_EXPONENT, exponent));
    terminalA = amps + gasBranchA;
    terminalASlope =
        exponent < HIGHEST_GAS_EXPONENT ? 1 + GAS_PER_V * gasBranchA * terminalSlope / cells : 1;
  }

  /** What of the main branch's current ends up in the wells, self-discharge taken off. */
  private double stored(double amps) {
    double kept = amps;
    if (amps > 0) {
      double i10 = spec.capacityC10Ah() / 10;
      kept = -amps * StrictMath.expm1(efficiencyRate / (amps / i10 + 0.55));
    }
    return kept - selfDischargeA;
  }

  @Override
  public void advance(Ledger ledger) {
    double half = 0.5 * seconds;
    double exchange = wells.exchangeA(storedA, half);
    double boundV = RestingVoltage.volts(wells.boundHead(storedA, half));
    double head1 = wells.availableHead();
    double head2 = wells.boundHead();
    wells.advance(storedA, seconds);
    double sideA = mainA - selfDischargeA - storedA;

    double ohmicW = (terminalV - cells * restingV) * mainA;
    double gasW = terminalV * gasBranchA + cells * restingV * sideA;
    double selfDischargeW = cells * restingV * selfDischargeA;
    double mixingW = cells * (restingV - boundV) * exchange;
    double change =
        cells
            * (wells.availableFullC() * RestingVoltage.change(head1, wells.availableHead())
                + wells.boundFullC() * RestingVoltage.change(head2, wells.boundHead()));

    double terminalW = terminalV * terminalA;
    ledger.add(Flow.BATTERY_IN, Math.max(0, terminalW) * seconds);
    ledger.add(Flow.BATTERY_OUT, Math.max(0, -terminalW) * seconds);
    ledger.add(Flow.BATTERY_OHMIC_LOSS, ohmicW * seconds);
    ledger.add(Flow.BATTERY_GAS_LOSS, gasW * seconds);
    ledger.add(Flow.BATTERY_SELF_DISCHARGE, selfDischargeW * seconds);
    ledger.add(Flow.BATTERY_MIXING_LOSS, mixingW * seconds);
    ledger.add(Flow.STORED_CHANGE, change);
    ledger.addCharge(
        Math.max(0, terminalA) * seconds,
        Math.max(0, -terminalA) * seconds,
        (gasBranchA + sideA) * seconds,
        selfDischargeA * seconds,
        wells.changeOfAvailableC() + wells.changeOfBoundC());

    double splitting = Math.min(cells * THERMONEUTRAL_V * (gasBranchA + sideA), gasW);
    heat.heat(ohmicW + selfDischargeW + mixingW + gasW - splitting, seconds);
    age(ledger);
  }

  private void age(Ledger ledger) {
    double lost = fade.wear(Math.max(0, -terminalA) * seconds);
    if (lost > 0) {
      ledger.fade(lost * storedJ(), lost * wellsC());
      wells.shrink(lost);
    }
  }

  @Override
  public void cool(double roomC) {
    heat.cool(roomC, seconds);
  }

  /** Energy in the wells against dry ones, J: a function of their charge alone. */
  @Override
  public double storedJ() {
    return cells
        * (wells.availableFullC() * RestingVoltage.integral(wells.availableHead())
            + wells.boundFullC() * RestingVoltage.integral(wells.boundHead()));
  }

  @Override
  public double wellsC() {
    return wells.availableC() + wells.boundC();
  }

  @Override
  public double terminalV() {
    return terminalV;
  }

  @Override
  public double terminalSlope() {
    return terminalSlope;
  }

  @Override
  public double terminalA() {
    return terminalA;
  }

  @Override
  public double terminalASlope() {
    return terminalASlope;
  }

  /** Current that makes gas instead of being stored, A: both branches. */
  @Override
  public double gassingA() {
    return gasBranchA + mainA - selfDischargeA - stored(mainA);
  }

  @Override
  public double restingV() {
    return cells * RestingVoltage.volts(wells.soc());
  }

  @Override
  public double soc() {
    return wells.soc();
  }

  @Override
  public double temperatureC() {
    return heat.celsius();
  }

  @Override
  public double longestStepS() {
    return HEAD_PER_STEP * wells.availableFullC() / Math.max(1e-9, Math.abs(mainA));
  }

  /**
   * The midpoint rule books what passes between the wells with an error of about a sixth of
   * (rate·step)², as a share of the mixing loss; that shall be a small part of all that is booked.
   */
  @Override
  public double longestInnerStepS() {
    double exchange = Math.abs(wells.exchangeA(0, 0));
    double apartV =
        Math.abs(
            RestingVoltage.volts(wells.availableHead()) - RestingVoltage.volts(wells.boundHead()));
    double mixingW = cells * apartV * exchange;
    // A tenth of the present power, since it may sink while the step lasts.
    double bookedW = 0.1 * Math.abs(terminalV * terminalA) + mixingW;
    double share = INNER_SHARE * bookedW / Math.max(1e-12, mixingW);
    return Math.sqrt(6 * share) * 3600 / spec.ratePerH();
  }

  @Override
  public double health() {
    return fade.health();
  }

  @Override
  public void setTemperatureC(double celsius) {
    heat.set(celsius);
  }

  @Override
  public void setResistanceFactor(double factor) {
    resistanceFactor = factor;
  }

  @Override
  public void lose(double share) {
    wells.shrink(fade.lose(share));
  }

  @Override
  public double shortCells(int shorted) {
    double before = storedJ();
    cells = spec.cells() - shorted;
    return before - storedJ();
  }
}
