package islet.plant;

/**
 * Clouds that pass within the intervals of another weather: what hourly data can't know and ramps
 * need. Each interval keeps its global, direct and diffuse energy.
 *
 * <p>How much is covered follows from the data: where direct light is a third of a clear sky's, the
 * sun shines for a third of the interval as from a clear sky and hides for the rest. The sky
 * between sun and site is a seeded random process of time: independent values, even between 0 and
 * 1, at fixed instants, joined by smooth steps; the sun shines where it is above a threshold, which
 * is chosen in each interval so that the share comes out, and its edge takes a tenth of the
 * process's range. Only direct light is dimmed. With less than 5 % of a clear sky's direct light,
 * or more than 95 %, nothing passes.
 *
 * <p>Range and aim: on a day of broken clouds (the hours' direct light 20 to 80 % of a clear sky's)
 * and with the usual 5 minutes, the day's variability index over minutes is above 10, which Stein,
 * Hansen and Reno (The Variability Index, World Renewable Energy Forum 2012; from memory) call
 * highly variable; a clear and an overcast day keep theirs. That light is either nearly clear or
 * nearly covered is what minute data show (Skartveit and Olseth, Solar Energy 49, 1992; from
 * memory). Length and edge of the clouds are our choice, not fitted to measurements: a means to
 * exercise a plant, not a forecast.
 */
public final class PassingClouds implements Weather {
  private static final double UNIT = 0x1.0p-53;
  private static final double LEAST_SHARE = 0.05;
  private static final double MOST_SHARE = 0.95;
  private static final double EDGE = 0.1;

  /** Samples of an interval from which its threshold and its scale follow: one in 20 s or more. */
  private static final long SAMPLE_MICROS = 20 * StandardTime.SECOND;

  private static final int LEAST_SAMPLES = 60;
  private static final int HALVINGS = 50;

  private final IntervalWeather base;
  private final SunPosition sun;
  private final StandardTime time = new StandardTime(0);
  private final long seed;
  private final long periodMicros;
  private final double[] process;
  private final double[] direct;
  private final double[] beam;

  private long interval = Long.MIN_VALUE;
  private boolean passing;
  private double threshold;
  private double directScale;
  private double beamScale;

  /**
   * Over a base weather.
   *
   * @param base what shines above; its intervals keep their energy
   * @param place whose sun says how bright a gap is
   * @param seed any number; the same one gives the same clouds
   * @param minutes between two independent values of the process, about a cloud's length, 2 to 60
   */
  public PassingClouds(IntervalWeather base, Place place, long seed, double minutes) {
    this.base = base;
    this.sun = new SunPosition(place);
    this.seed = seed;
    this.periodMicros =
        Math.round(
            Require.within(minutes, 2, 60, "The clouds' time in minutes") * StandardTime.MINUTE);
    int samples = Math.max(LEAST_SAMPLES, (int) (base.intervalMicros() / SAMPLE_MICROS));
    this.process = new double[samples];
    this.direct = new double[samples];
    this.beam = new double[samples];
  }

  @Override
  public void sample(long epochMicros, Sky sky) {
    long start = base.intervalStart(epochMicros);
    if (start != interval) {
      load(start, sky);
    }
    base.sample(epochMicros, sky);
    if (!passing) {
      return;
    }
    double shines = shines(process(epochMicros), threshold);
    double onHorizontal = Math.max(0, sky.ghi() - sky.dhi());
    sky.set(
        sky.ghi() - onHorizontal + onHorizontal * shines * beamScale,
        sky.dni() * shines * directScale,
        sky.dhi(),
        sky.ambientC(),
        sky.windMPerS());
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return base.nextChangeMicros(epochMicros);
  }

  private void load(long start, Sky sky) {
    int n = process.length;
    double directSum = 0;
    double clearSum = 0;
    double beamSum = 0;
    for (int i = 0; i < n; i++) {
      long at = start + (2L * i + 1) * base.intervalMicros() / (2L * n);
      base.sample(at, sky);
      process[i] = process(at);
      direct[i] = sky.dni();
      beam[i] = Math.max(0, sky.ghi() - sky.dhi());
      sun.turnTo(at);
      directSum += direct[i];
      beamSum += beam[i];
      clearSum += ClearSky.direct(sun.cosZenith(), time.hourOfYear(at) / 24);
    }
    interval = start;
    passing = directSum > LEAST_SHARE * clearSum && directSum < MOST_SHARE * clearSum;
    if (passing) {
      settle(directSum, beamSum, directSum / clearSum);
    }
  }

  /** Finds the threshold with which the sun shines for its share, then the scales. */
  private void settle(double directSum, double beamSum, double share) {
    double low = -EDGE;
    double high = 1 + EDGE;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = 0.5 * (low + high);
      if (weighed(direct, middle) > share * directSum) {
        low = middle;
      } else {
        high = middle;
      }
    }
    threshold = 0.5 * (low + high);
    directScale = directSum / weighed(direct, threshold);
    beamScale = beamSum > 0 ? beamSum / weighed(beam, threshold) : 0;
  }

  private double weighed(double[] light, double at) {
    double sum = 0;
    for (int i = 0; i < light.length; i++) {
      sum += light[i] * shines(process[i], at);
    }
    return sum;
  }

  /** How much of the sun is seen, 0 to 1. */
  private static double shines(double process, double threshold) {
    return smooth(Math.max(0, Math.min(1, (process - threshold) / EDGE + 0.5)));
  }

  private static double smooth(double share) {
    return share * share * (3 - 2 * share);
  }

  private double process(long epochMicros) {
    long k = Math.floorDiv(epochMicros, periodMicros);
    double share = Math.floorMod(epochMicros, periodMicros) / (double) periodMicros;
    return at(k) + smooth(share) * (at(k + 1) - at(k));
  }

  private double at(long k) {
    // SplitMix64's finaliser (Steele, Lea and Flood, OOPSLA 2014; from memory).
    long z = seed + k * 0x9E3779B97F4A7C15L;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    z ^= z >>> 31;
    return (z >>> 11) * UNIT;
  }
}
