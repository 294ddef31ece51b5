package islet.control.plan;

/**
 * What a plan has at its disposal. Powers in kW, energies in kWh, shares from 0 to 1.
 *
 * @param floorKWh the battery is never discharged below
 * @param fullKWh what the full battery holds
 * @param chargeKW into the battery at most, DC
 * @param dischargeKW out of the battery at most, DC
 * @param storedShare of what goes in, what is stored
 * @param givenShare of what is taken from the store, what comes out
 * @param rectifyKW from the panels to the DC side at most, AC
 * @param invertKW from the DC side to the panels at most, AC
 * @param rectifiedShare of the AC power, what arrives at the DC side
 * @param invertedShare of the DC power, what arrives at the panels
 * @param importKW from the utility at most
 */
public record Means(
    double floorKWh,
    double fullKWh,
    double chargeKW,
    double dischargeKW,
    double storedShare,
    double givenShare,
    double rectifyKW,
    double invertKW,
    double rectifiedShare,
    double invertedShare,
    double importKW) {

  /**
   * Checks that a plan can be made with them.
   *
   * @throws IllegalArgumentException when a power is negative, a share is not above 0 and at most
   *     1, or the floor is not below full
   */
  public Means {
    least("chargeKW", chargeKW);
    least("dischargeKW", dischargeKW);
    least("rectifyKW", rectifyKW);
    least("invertKW", invertKW);
    least("importKW", importKW);
    least("floorKWh", floorKWh);
    share("storedShare", storedShare);
    share("givenShare", givenShare);
    share("rectifiedShare", rectifiedShare);
    share("invertedShare", invertedShare);
    if (!(fullKWh > floorKWh)) {
      throw new IllegalArgumentException(
          "fullKWh is " + fullKWh + "; allowed is more than floorKWh, " + floorKWh);
    }
  }

  private static void least(String what, double value) {
    if (!(value >= 0) || Double.isInfinite(value)) {
      throw new IllegalArgumentException(what + " is " + value + "; allowed is 0 or more");
    }
  }

  private static void share(String what, double value) {
    if (!(value > 0 && value <= 1)) {
      throw new IllegalArgumentException(what + " is " + value + "; allowed is above 0 to 1");
    }
  }
}
