package islet.plant;

/**
 * A refrigerator: its thermostat runs the compressor for a while, then rests it.
 *
 * @param runningW while the compressor runs
 * @param onMinutes length of a run
 * @param offMinutes length of a rest
 * @param offsetMinutes when in the cycle it stands at 1970-01-01T00:00Z, so that several don't run
 *     in step
 */
public record RefrigeratorLoad(
    double runningW, double onMinutes, double offMinutes, double offsetMinutes)
    implements LoadProfile {
  /** Checks the ranges. */
  public RefrigeratorLoad {
    Require.notNegative(runningW, "A refrigerator's running power in W");
    Require.within(onMinutes, 0.1, 1440, "A refrigerator's run in minutes");
    Require.within(offMinutes, 0.1, 1440, "A refrigerator's rest in minutes");
    Require.within(offsetMinutes, 0, 2880, "A refrigerator's offset in minutes");
  }

  @Override
  public double powerW(long epochMicros) {
    return intoCycle(epochMicros) < micros(onMinutes) ? runningW : 0;
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    long into = intoCycle(epochMicros);
    long on = micros(onMinutes);
    return epochMicros - into + (into < on ? on : on + micros(offMinutes));
  }

  private long intoCycle(long epochMicros) {
    return Math.floorMod(
        epochMicros + micros(offsetMinutes), micros(onMinutes) + micros(offMinutes));
  }

  private static long micros(double minutes) {
    return Math.round(minutes * StandardTime.MINUTE);
  }
}
