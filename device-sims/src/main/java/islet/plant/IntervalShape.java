package islet.plant;

/**
 * How irradiance runs within an interval of which only the energy is known.
 *
 * <p>Global follows the shape of a clear sky (Haurwitz 1945), scaled so that the interval's energy
 * is kept; diffuse follows global with the interval's share; direct is held at its mean over the
 * time the sun is up. So each of the three keeps its energy. An interval whose global energy can't
 * be so shaped (the sun barely up, or more than twice the clear-sky energy) is held flat.
 */
final class IntervalShape {
  /** Above this ratio of measured to clear-sky energy the shape is no guide. */
  private static final double HIGHEST_INDEX = 2;

  private final SunPosition sun;
  private final int parts;

  private double clearSkyIndex;
  private double flatGhi;
  private double diffuseShare;
  private double directWhileUp;
  private double meanCosZenith;
  private double shareUp;

  /**
   * For one place.
   *
   * @param parts sub-intervals in which the clear sky's energy is summed; with a minute each the
   *     error of the midpoint rule is 1e-5
   */
  IntervalShape(Place place, int parts) {
    this.sun = new SunPosition(place);
    this.parts = parts;
  }

  /**
   * Takes an interval's means, W/m².
   *
   * @param start µs since 1970-01-01T00:00Z
   * @param length µs
   * @param day of the year, 0 to 364
   */
  void fit(long start, long length, double ghi, double dni, double dhi, int day) {
    diffuseShare = ghi > 0 ? Math.min(1, dhi / ghi) : 1;
    double clear = 0;
    directWhileUp = 0;
    if (ghi > 0) {
      int partsUp = 0;
      for (int i = 0; i < parts; i++) {
        sun.turnTo(middle(start, length, i));
        clear += ClearSky.haurwitz(sun.cosZenith()) / parts;
        partsUp += sun.cosZenith() > 0 ? 1 : 0;
      }
      // A sun up for minutes only can't be brighter than it is outside the atmosphere.
      directWhileUp =
          partsUp == 0 ? 0 : Math.min(dni * parts / partsUp, ClearSky.extraterrestrial(day));
    }
    boolean shaped = clear > 0 && ghi <= HIGHEST_INDEX * clear;
    clearSkyIndex = shaped ? ghi / clear : 0;
    flatGhi = shaped ? 0 : ghi;
  }

  /** Looks how the sun stands over an interval, for the two getters below. */
  void survey(long start, long length) {
    double sum = 0;
    int up = 0;
    for (int i = 0; i < parts; i++) {
      sun.turnTo(middle(start, length, i));
      sum += Math.max(0, sun.cosZenith());
      up += sun.cosZenith() > 0 ? 1 : 0;
    }
    meanCosZenith = sum / parts;
    shareUp = up / (double) parts;
  }

  /** Mean cosine of the zenith angle over the surveyed interval, 0 while the sun is down. */
  double meanCosZenith() {
    return meanCosZenith;
  }

  /** Share of the surveyed interval in which the sun is up. */
  double shareUp() {
    return shareUp;
  }

  private long middle(long start, long length, int part) {
    return start + (2L * part + 1) * length / (2L * parts);
  }

  /** Fills in what shines at an instant of the interval. */
  void sample(long epochMicros, Sky sky, double ambientC, double windMPerS) {
    if (flatGhi == 0 && clearSkyIndex == 0) {
      sky.set(0, 0, 0, ambientC, windMPerS);
      return;
    }
    sun.turnTo(epochMicros);
    double cosZenith = sun.cosZenith();
    double global = flatGhi + clearSkyIndex * ClearSky.haurwitz(cosZenith);
    double diffuse = global * diffuseShare;
    sky.set(global, cosZenith > 0 ? directWhileUp : 0, diffuse, ambientC, windMPerS);
  }
}
