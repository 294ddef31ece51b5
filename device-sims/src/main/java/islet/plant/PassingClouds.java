package islet.plant;

/**
 * Clouds that pass within the hour over another weather: what hourly data can't know and ramps
 * need.
 *
 * <p>The direct part is dimmed by a smooth random process; diffuse stays. A pure function of time
 * and seed: values at fixed instants come from a mixing function, and between them a smooth step
 * runs. Not fitted to measurements; a means to exercise a plant, not a forecast.
 */
public final class PassingClouds implements Weather {
  private static final double UNIT = 0x1.0p-53;

  private final Weather base;
  private final long seed;
  private final double cover;
  private final double depth;
  private final long periodMicros;

  /**
   * Over a base weather.
   *
   * @param base what shines above
   * @param seed any number; the same one gives the same clouds
   * @param cover share of the time under cloud, 0 to 1
   * @param depth share of the direct light a cloud takes, 0 to 1
   * @param minutes typical time between a gap and a cloud, 1 to 60
   */
  public PassingClouds(Weather base, long seed, double cover, double depth, double minutes) {
    this.base = base;
    this.seed = seed;
    this.cover = Require.within(cover, 0, 1, "The clouds' share of time");
    this.depth = Require.within(depth, 0, 1, "The clouds' depth");
    this.periodMicros =
        Math.round(
            Require.within(minutes, 1, 60, "The clouds' time in minutes") * StandardTime.MINUTE);
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    base.sample(epochMicros, sky);
    double through = 1 - depth * cloud(epochMicros);
    double onHorizontal = Math.max(0, sky.ghi() - sky.dhi());
    sky.set(
        sky.ghi() - onHorizontal * (1 - through),
        sky.dni() * through,
        sky.dhi(),
        sky.ambientC(),
        sky.windMPerS());
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return base.nextChangeMicros(epochMicros);
  }

  /** How much of a cloud stands before the sun, 0 to 1. */
  private double cloud(long epochMicros) {
    long k = Math.floorDiv(epochMicros, periodMicros);
    double share = Math.floorMod(epochMicros, periodMicros) / (double) periodMicros;
    double smooth = share * share * (3 - 2 * share);
    return at(k) + smooth * (at(k + 1) - at(k));
  }

  private double at(long k) {
    // SplitMix64's finaliser (Steele, Lea and Flood, OOPSLA 2014; from memory).
    long z = seed + k * 0x9E3779B97F4A7C15L;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    z ^= z >>> 31;
    return (z >>> 11) * UNIT < cover ? 1 : 0;
  }
}
