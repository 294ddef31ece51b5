package islet.plant;

/**
 * A load that never changes.
 *
 * @param watts at nominal voltage
 */
public record ConstantLoad(double watts) implements LoadProfile {
  /** Checks the range. */
  public ConstantLoad {
    Require.notNegative(watts, "A constant load in W");
  }

  @Override
  public double powerW(long epochMicros) {
    return watts;
  }

  @Override
  public long nextChangeMicros(long epochMicros) {
    return Long.MAX_VALUE;
  }
}
