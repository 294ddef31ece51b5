package islet.control.plan;

/**
 * A plan: means of each interval, kW, and the store at its end, kWh.
 *
 * <p>Only the power that matters to the devices is told: what the AC side takes for the battery,
 * and what it gets from the DC side.
 */
public final class DayPlan {

  /** From the utility. */
  public final double[] importKW;

  /** To the utility. */
  public final double[] exportKW;

  /** From the panels into the DC side. */
  public final double[] rectifyKW;

  /** From the DC side into the panels. */
  public final double[] invertKW;

  /** Into the battery. */
  public final double[] chargeKW;

  /** Out of the battery. */
  public final double[] dischargeKW;

  /** In the battery at the interval's end. */
  public final double[] storedKWh;

  /** What is missing to the reserve at the interval's end; 0 where it is kept. */
  public final double[] shortKWh;

  private final double cost;

  DayPlan(int intervals, double cost) {
    this.cost = cost;
    importKW = new double[intervals];
    exportKW = new double[intervals];
    rectifyKW = new double[intervals];
    invertKW = new double[intervals];
    chargeKW = new double[intervals];
    dischargeKW = new double[intervals];
    storedKWh = new double[intervals];
    shortKWh = new double[intervals];
  }

  /**
   * What the plan minimises: energy bought less energy sold, plus what is missing to the reserve at
   * its price, less the worth of what is left in the battery.
   */
  public double cost() {
    return cost;
  }
}
