package islet.control.plan;

/**
 * What is expected of the next hours, interval by interval. A new one is all zeros; who fills it
 * hands it to the planner and leaves it alone from then on.
 */
public final class DayProblem {

  /** What is at the plan's disposal. */
  public final Means means;

  /** Length of each interval, h. */
  public final double[] hours;

  /** Mean power of the loads, kW. */
  public final double[] loadKW;

  /** Mean power that the array could give at the DC side, kW. */
  public final double[] sunKW;

  /** Price of imported energy per kWh. A negative one counts as 0: a plan burns no energy. */
  public final double[] importPrice;

  /**
   * Credit for exported energy per kWh. More than the import price counts as the import price: one
   * meter cannot sell what it buys at the same time.
   */
  public final double[] exportPrice;

  /** The most that may leave the site, kW. */
  public final double[] exportKW;

  /** Kept at the end of each interval, if it can be, kWh. */
  public final double[] reserveKWh;

  /** What is in the battery at the beginning, kWh. */
  public double storedKWh;

  /** What a kWh in the battery is worth at the end, in the tariff's currency. */
  public double endPerKWh;

  /** So many intervals, 1 or more. */
  public DayProblem(Means means, int intervals) {
    this.means = means;
    hours = new double[intervals];
    loadKW = new double[intervals];
    sunKW = new double[intervals];
    importPrice = new double[intervals];
    exportPrice = new double[intervals];
    exportKW = new double[intervals];
    reserveKWh = new double[intervals];
  }

  /** How many intervals there are. */
  public int intervals() {
    return hours.length;
  }

  double buyAt(int i) {
    return Math.max(0, importPrice[i]);
  }

  double sellAt(int i) {
    return Math.max(0, Math.min(exportPrice[i], buyAt(i)));
  }

  /**
   * What a kWh below the reserve costs for an hour: so much more than any price that filling up at
   * once is always cheaper than waiting.
   */
  double shortPerKWhHour() {
    double dearest = 0;
    for (int i = 0; i < intervals(); i++) {
      dearest = Math.max(dearest, buyAt(i));
    }
    return 1 + 5 * dearest;
  }
}
