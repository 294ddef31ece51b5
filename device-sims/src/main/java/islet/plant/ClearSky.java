package islet.plant;

/** Closed formulas for irradiance without and with clouds. */
final class ClearSky {
  /** Total solar irradiance, W/m² (Gueymard, Solar Energy 168, 2018; from memory). */
  static final double SOLAR_CONSTANT = 1361;

  private ClearSky() {}

  /**
   * Global horizontal irradiance under a clear sky, W/m² (Haurwitz, J. Meteorology 2, 1945).
   *
   * @param cosZenith cosine of the sun's zenith angle; zero irradiance at or below 0
   */
  static double haurwitz(double cosZenith) {
    return cosZenith <= 0 ? 0 : 1098 * cosZenith * StrictMath.exp(-0.057 / cosZenith);
  }

  /**
   * Diffuse share of global irradiance (Erbs, Klein and Duffie, Solar Energy 28, 1982).
   *
   * @param kt clearness index: global over extraterrestrial, both on the horizontal, 0 to 1
   */
  static double erbsDiffuseShare(double kt) {
    if (kt <= 0.22) {
      return 1 - 0.09 * kt;
    }
    if (kt <= 0.80) {
      return 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
    }
    return 0.165;
  }

  /**
   * Extraterrestrial irradiance normal to the sun, W/m²; the yearly swing of the distance by ±3.3 %
   * (Duffie and Beckman's one-term formula).
   *
   * @param dayOfYear 0 to 364
   */
  static double extraterrestrial(int dayOfYear) {
    return SOLAR_CONSTANT * (1 + 0.033 * StrictMath.cos(2 * StrictMath.PI * (dayOfYear + 1) / 365));
  }

  /**
   * Direct irradiance normal to the sun under a clear sky, W/m²: Haurwitz split by Erbs.
   *
   * @param cosZenith cosine of the sun's zenith angle; zero irradiance at or below 0
   * @param dayOfYear 0 to 364
   */
  static double direct(double cosZenith, int dayOfYear) {
    if (cosZenith <= 0) {
      return 0;
    }
    double ghi = haurwitz(cosZenith);
    double share = erbsDiffuseShare(ghi / (extraterrestrial(dayOfYear) * cosZenith));
    return ghi * (1 - share) / cosZenith;
  }
}
