package islet.plant;

/**
 * A lithium iron phosphate bank: resting voltage by table, a series resistance and one RC pair per
 * cell, the usual equivalent circuit (for example Plett, J. Power Sources 134, 2004, without his
 * hysteresis). The pair moves by its exact exponential under the step's held current.
 *
 * <p>Resistances grow in the cold by Arrhenius' law with {@value #ACTIVATION_K} K, so that they
 * double from 25 to 0 °C (from memory). The capacity does not depend on current or temperature;
 * what a cold bank gives less, it gives less by its voltage. Valid from −20 to 60 °C and to twice
 * the one-hour current.
 */
final class LfpBattery implements Battery {

  /** 20 kJ/mol over the gas constant, K. */
  private static final double ACTIVATION_K = 2405;

  private static final double KELVIN = 273.15;
  private static final double REFERENCE_K = 25 + KELVIN;

  /** Self-discharge doubles with every 10 K (common practice). */
  private static final double SELF_DISCHARGE_PER_K = 0.0693147;

  private static final double MONTH_S = 30 * 86_400.0;

  /** Keeps the midpoint rule's error well below what the books allow on the table's bends. */
  private static final double SOC_PER_STEP = 1e-4;

  /** And outside of it, where the voltage runs away. */
  private static final double SOC_PER_STEP_OUTSIDE = 2e-5;

  private static final double INSIDE_FROM = 0.01;
  private static final double INSIDE_TO = 0.995;

  private final LfpSpec spec;
  private final BankHeat heat;
  private final Fade fade;
  private final double polarisationF;
  private double cells;
  private double resistanceFactor = 1;
  private double fullC;
  private double chargeC;
  private double polarisationV;

  private double seconds;
  private double seriesOhm;
  private double polarisationOhm;
  private double timeConstantS;
  private double decay;
  private double meanKept;
  private double selfDischargeA;

  private double mainA;
  private double storedA;
  private double openV;
  private double terminalV;
  private double terminalSlope;

  LfpBattery(LfpSpec spec, double soc, double health, double temperatureC) {
    this.spec = spec;
    this.cells = spec.cells();
    this.heat = new BankHeat(spec.heatCapacityJPerK(), spec.heatLossWPerK(), temperatureC);
    this.fade = new Fade(spec.capacityAh(), spec.cyclesTo80(), health);
    this.polarisationF = spec.polarisationS() / spec.polarisationOhm();
    this.fullC = spec.capacityAh() * 3600 * health;
    this.chargeC = soc * fullC;
  }

  /** The resting voltage is taken at the step's middle, the pair's voltage as its exact mean. */
  @Override
  public void prepare(double step) {
    seconds = step;
    double kelvin = heat.celsius() + KELVIN;
    double colder =
        resistanceFactor * StrictMath.exp(ACTIVATION_K * (1 / kelvin - 1 / REFERENCE_K));
    seriesOhm = spec.seriesOhm() * colder;
    polarisationOhm = spec.polarisationOhm() * colder;
    // The capacitance stays, so that the energy in it depends on its voltage alone.
    timeConstantS = polarisationOhm * polarisationF;
    decay = -StrictMath.expm1(-step / timeConstantS);
    meanKept = step > 0 ? decay * timeConstantS / step : 1;
    selfDischargeA =
        spec.selfDischargePerMonth()
            * fullC
            / MONTH_S
            * Math.max(0, Math.min(1, soc()))
            * StrictMath.exp(SELF_DISCHARGE_PER_K * (kelvin - REFERENCE_K));
  }

  @Override
  public void evaluate(double amps) {
    mainA = amps;
    double share = amps > 0 ? spec.coulombicShare() : 1;
    storedA = share * amps - selfDischargeA;
    double middle = (chargeC + 0.5 * seconds * storedA) / fullC;
    openV = LfpCurve.volts(middle);
    double openSlope = seconds > 0 ? LfpCurve.slope(middle) * share * 0.5 * seconds / fullC : 0;
    double pairV = polarisationV * meanKept + polarisationOhm * amps * (1 - meanKept);
    terminalV = cells * (openV + pairV + seriesOhm * amps);
    terminalSlope = cells * (openSlope + polarisationOhm * (1 - meanKept) + seriesOhm);
  }

  @Override
  public void advance(Ledger ledger) {
    double soc = soc();
    double sideA = mainA - selfDischargeA - storedA;
    chargeC += storedA * seconds;
    double held = polarisationV;
    double rise = (polarisationOhm * mainA - held) * decay;
    polarisationV = held + rise;

    double ohmicJ = cells * (seriesOhm * mainA * mainA * seconds + pairLossJ(held));
    double sideJ = cells * openV * sideA * seconds;
    double selfDischargeJ = cells * openV * selfDischargeA * seconds;
    double change =
        cells
            * (fullC * LfpCurve.change(soc, soc())
                + 0.5 * polarisationF * rise * (held + polarisationV));

    double terminalJ = terminalV * mainA * seconds;
    ledger.add(Flow.BATTERY_IN, Math.max(0, terminalJ));
    ledger.add(Flow.BATTERY_OUT, Math.max(0, -terminalJ));
    ledger.add(Flow.BATTERY_OHMIC_LOSS, ohmicJ);
    ledger.add(Flow.BATTERY_GAS_LOSS, sideJ);
    ledger.add(Flow.BATTERY_SELF_DISCHARGE, selfDischargeJ);
    ledger.add(Flow.STORED_CHANGE, change);
    ledger.addCharge(
        Math.max(0, mainA) * seconds,
        Math.max(0, -mainA) * seconds,
        sideA * seconds,
        selfDischargeA * seconds,
        storedA * seconds);
    heat.heat((ohmicJ + sideJ + selfDischargeJ) / seconds, seconds);
    age(ledger);
  }

  /** Integral of v²/R over the step while the pair goes from a voltage to its new one, J. */
  private double pairLossJ(double fromV) {
    double end = polarisationOhm * mainA;
    double off = fromV - end;
    double squares =
        end * end * seconds
            + 2 * end * off * timeConstantS * decay
            + 0.5 * off * off * timeConstantS * -StrictMath.expm1(-2 * seconds / timeConstantS);
    return squares / polarisationOhm;
  }

  private void age(Ledger ledger) {
    double lost = fade.wear(Math.max(0, -mainA) * seconds);
    if (lost > 0) {
      ledger.fade(lost * cells * fullC * LfpCurve.integral(soc()), lost * chargeC);
      chargeC -= lost * chargeC;
      fullC -= lost * fullC;
    }
  }

  @Override
  public void cool(double roomC) {
    heat.cool(roomC, seconds);
  }

  @Override
  public double longestStepS() {
    double soc = soc();
    double share = soc > INSIDE_FROM && soc < INSIDE_TO ? SOC_PER_STEP : SOC_PER_STEP_OUTSIDE;
    return share * fullC / Math.max(1e-9, Math.abs(mainA));
  }

  /** Its RC pair is booked exactly, whatever the step. */
  @Override
  public double longestInnerStepS() {
    return Double.MAX_VALUE;
  }

  @Override
  public double soc() {
    return chargeC / fullC;
  }

  @Override
  public double storedJ() {
    return cells
        * (fullC * LfpCurve.integral(soc()) + 0.5 * polarisationF * polarisationV * polarisationV);
  }

  @Override
  public double wellsC() {
    return chargeC;
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
    return mainA;
  }

  @Override
  public double terminalASlope() {
    return 1;
  }

  @Override
  public double temperatureC() {
    return heat.celsius();
  }

  @Override
  public double restingV() {
    return cells * LfpCurve.volts(soc());
  }

  /** These cells are sealed and make none; what is lost in charging is lost as heat. */
  @Override
  public double gassingA() {
    return 0;
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
    double lost = fade.lose(share);
    chargeC -= lost * chargeC;
    fullC -= lost * fullC;
  }

  @Override
  public double shortCells(int shorted) {
    double before = storedJ();
    cells = spec.cells() - shorted;
    return before - storedJ();
  }
}
