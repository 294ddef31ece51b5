package islet.plant;

/**
 * A cloudless sky by place and date: global by Haurwitz (1945), split by Erbs (1982), constant air.
 */
public final class ClearSkyWeather implements Weather {
  private final SunPosition sun;
  private final StandardTime time = new StandardTime(0);
  private final double ambientC;
  private final double windMPerS;

  /**
   * For one place.
   *
   * @param place where
   * @param ambientC air temperature, °C
   * @param windMPerS wind, m/s
   */
  public ClearSkyWeather(Place place, double ambientC, double windMPerS) {
    this.sun = new SunPosition(place);
    this.ambientC = Require.within(ambientC, -60, 60, "The air temperature in °C");
    this.windMPerS = Require.within(windMPerS, 0, 100, "The wind in m/s");
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    sun.turnTo(epochMicros);
    double cosZenith = sun.cosZenith();
    if (cosZenith <= 0) {
      sky.set(0, 0, 0, ambientC, windMPerS);
      return;
    }
    double ghi = ClearSky.haurwitz(cosZenith);
    double outside = ClearSky.extraterrestrial(time.hourOfYear(epochMicros) / 24);
    double dhi = ghi * ClearSky.erbsDiffuseShare(ghi / (outside * cosZenith));
    sky.set(ghi, (ghi - dhi) / cosZenith, dhi, ambientC, windMPerS);
  }
}
