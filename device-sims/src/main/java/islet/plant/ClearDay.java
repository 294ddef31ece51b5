package islet.plant;

import java.time.LocalDate;

/** What an array could give on a day without a cloud, from the model that runs use. */
public final class ClearDay {

  private static final int STEPS_AN_HOUR = 6;
  private static final double DEG_PER_H = 15;

  private ClearDay() {}

  /**
   * Energy at the maximum power point over one solar day, kWh.
   *
   * @param ambientC air temperature, °C
   */
  public static double energyKWh(PvSpec pv, Place place, LocalDate day, double ambientC) {
    PvArray array = new PvArray(pv, place, new ClearSkyWeather(place, ambientC, 1));
    long midnight =
        day.toEpochDay() * StandardTime.DAY
            - Math.round(place.longitudeDeg() / DEG_PER_H * StandardTime.HOUR);
    double sumW = 0;
    for (int i = 0; i < 24 * STEPS_AN_HOUR; i++) {
      array.turnTo(midnight + (2 * i + 1) * StandardTime.HOUR / (2 * STEPS_AN_HOUR));
      sumW += array.availableW();
    }
    return sumW / STEPS_AN_HOUR / 1000;
  }
}
