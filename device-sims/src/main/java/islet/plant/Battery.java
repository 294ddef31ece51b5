package islet.plant;

/**
 * A bank as the DC bus sees it. Terminal voltage and current follow explicitly from the current of
 * its main branch, and both rise with it; so the whole bus is solved in that one unknown.
 *
 * <p>A step goes {@link #prepare}, any number of {@link #evaluate}, {@link #advance}, {@link
 * #cool}. Currents are positive into the bank.
 */
sealed interface Battery permits LeadAcidBattery, LfpBattery {

  /** A bank of the specification's chemistry, rested. */
  static Battery of(BatterySpec spec, double soc, double health, double temperatureC) {
    if (spec instanceof LfpSpec lfp) {
      return new LfpBattery(lfp, soc, health, temperatureC);
    }
    return new LeadAcidBattery((LeadAcidSpec) spec, soc, health, temperatureC);
  }

  /**
   * Freezes what depends on the state only, before the bus is solved.
   *
   * @param step length of the coming step, s; zero for the present instant
   */
  void prepare(double step);

  /** Works out terminal voltage and current, and their slopes, from the main branch's current. */
  void evaluate(double amps);

  double terminalV();

  /** Change of terminal voltage with the main branch's current, Ω; never negative. */
  double terminalSlope();

  double terminalA();

  /** Change of terminal current with the main branch's current; at least 1. */
  double terminalASlope();

  /** Holds the evaluated state for the prepared step and books where charge and energy went. */
  void advance(Ledger ledger);

  /** Lets the bank lose heat to a room at this temperature over the prepared step. */
  void cool(double roomC);

  /** Longest step, s, in which the resting voltage moves little enough for the books. */
  double longestStepS();

  /**
   * Longest step, s, in which what goes on within the bank by itself is booked closely enough; only
   * of interest for steps of more than a second.
   */
  double longestInnerStepS();

  /** State of charge; a little below 0 or above 1 in a bank that is abused. */
  double soc();

  /** Stored energy, J: a function of the state alone. */
  double storedJ();

  /** Stored charge, C. */
  double wellsC();

  double temperatureC();

  /** Voltage it would come to rest at, V. */
  double restingV();

  /** Current that makes gas, A. */
  double gassingA();

  /** Capacity over the new bank's, 0 to 1. */
  double health();

  void setTemperatureC(double celsius);

  void setResistanceFactor(double factor);

  /** Loses a share of what capacity is left, with what it held. */
  void lose(double share);

  /** Shorts cells: their voltage is gone, and what they held is lost, J. */
  double shortCells(int shorted);
}
