package islet.bench;

/**
 * How long a run took, the only thing that differs between two runs of one seed.
 *
 * @param wallSeconds by the clock on the wall
 * @param steps steps of the plant
 */
public record Timing(double wallSeconds, long steps) {

  /** Steps in a second; 0 when no time was measured. */
  public double stepsPerSecond() {
    return wallSeconds > 0 ? steps / wallSeconds : 0;
  }
}
