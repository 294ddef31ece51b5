package islet.plant;

/**
 * What a fixed array gets in a year: the sum over every minute of what the plant's array computes.
 *
 * @param irradiationKWhPerM2 in the array's plane, kWh/m²
 * @param energyKWh at its maximum power point, kWh
 */
public record SunYear(double irradiationKWhPerM2, double energyKWh) {
  private static final int MINUTES = StandardTime.HOURS_IN_YEAR * 60;

  /**
   * Sums 365 days.
   *
   * @param pv the array
   * @param place where it stands
   * @param weather over it
   * @param startMicros begin, µs since 1970-01-01T00:00Z
   */
  public static SunYear of(PvSpec pv, Place place, Weather weather, long startMicros) {
    PvArray array = new PvArray(pv, place, weather);
    double wh = 0;
    double whPerM2 = 0;
    for (int m = 0; m < MINUTES; m++) {
      array.turnTo(startMicros + m * StandardTime.MINUTE + StandardTime.MINUTE / 2);
      whPerM2 += array.irradiance() / 60;
      wh += array.availableW() / 60;
    }
    return new SunYear(whPerM2 / 1000, wh / 1000);
  }
}
