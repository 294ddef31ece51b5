package islet.plant;

/**
 * A sky by place and date without measurements: global by Haurwitz (1945), times a clearness where
 * it is hazy or half covered, split by Erbs (1982). The air is coldest at 3:00 and warmest at 15:00
 * local standard time and follows a cosine in between (common practice).
 */
public final class ClearSkyWeather implements IntervalWeather {
  private static final double WARMEST_H = 15;

  private final SunPosition sun;
  private final StandardTime universal = new StandardTime(0);
  private final StandardTime local;
  private final double clearness;
  private final double warmestC;
  private final double coldestC;
  private final double windMPerS;

  /**
   * A cloudless sky with constant air.
   *
   * @param place where
   * @param ambientC air temperature, °C
   * @param windMPerS wind, m/s
   */
  public ClearSkyWeather(Place place, double ambientC, double windMPerS) {
    this(place, 0, 1, ambientC, ambientC, windMPerS);
  }

  /**
   * A sky with a course of the day.
   *
   * @param place where
   * @param utcOffsetH local standard time against universal time, h
   * @param clearness global irradiance over a cloudless sky's, more than 0 to 1
   * @param warmestC air temperature at 15:00, °C
   * @param coldestC air temperature at 3:00, °C
   * @param windMPerS wind, m/s
   */
  public ClearSkyWeather(
      Place place,
      double utcOffsetH,
      double clearness,
      double warmestC,
      double coldestC,
      double windMPerS) {
    this.sun = new SunPosition(place);
    this.local = new StandardTime(utcOffsetH);
    this.clearness = Require.within(clearness, 0.01, 1, "The sky's clearness");
    this.warmestC = Require.within(warmestC, -60, 60, "The air temperature in °C");
    this.coldestC = Require.within(coldestC, -60, warmestC, "The night's air temperature in °C");
    this.windMPerS = Require.within(windMPerS, 0, 100, "The wind in m/s");
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    sun.turnTo(epochMicros);
    double cosZenith = sun.cosZenith();
    double ambientC = ambientC(epochMicros);
    if (cosZenith <= 0) {
      sky.set(0, 0, 0, ambientC, windMPerS);
      return;
    }
    double ghi = clearness * ClearSky.haurwitz(cosZenith);
    double outside = ClearSky.extraterrestrial(universal.hourOfYear(epochMicros) / 24);
    double dhi = ghi * ClearSky.erbsDiffuseShare(ghi / (outside * cosZenith));
    sky.set(ghi, (ghi - dhi) / cosZenith, dhi, ambientC, windMPerS);
  }

  private double ambientC(long epochMicros) {
    if (warmestC == coldestC) {
      return warmestC;
    }
    double hours = local.microsOfDay(epochMicros) / (double) StandardTime.HOUR;
    double turn = 2 * StrictMath.PI * (hours - WARMEST_H) / 24;
    return 0.5 * (warmestC + coldestC) + 0.5 * (warmestC - coldestC) * StrictMath.cos(turn);
  }

  /** The clear sky has no measured intervals; by the hour its energy is as in a weather year. */
  @Override
  public long intervalStart(long epochMicros) {
    return local.startOfHour(epochMicros);
  }

  @Override
  public long intervalMicros() {
    return StandardTime.HOUR;
  }
}
