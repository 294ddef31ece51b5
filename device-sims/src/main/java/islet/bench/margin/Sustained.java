package islet.bench.margin;

/**
 * □ ◇[0,T] (margin ≥ 0): a bound may be passed, yet not for longer than T. The margin is the lowest
 * value that lasted longer than T; a shorter dip does not count, however deep.
 *
 * <p>Only windows that the run holds whole are judged, so an excursion that is still young at the
 * end of the run is not held against it.
 */
public final class Sustained {

  private final Predicate predicate = new Predicate();
  private final Always always;
  private final LongestStay broken;
  private double current = Double.POSITIVE_INFINITY;

  /**
   * A monitor.
   *
   * @param windowMicros T in microseconds, 0 or more
   */
  public Sustained(long windowMicros) {
    always = new Always(new EventuallyWithin(predicate, 0, windowMicros));
    broken = new LongestStay(windowMicros);
  }

  /**
   * Takes the value from this instant on; +∞ is a time without obligation.
   *
   * @throws IllegalArgumentException when the value is not a number
   */
  public void update(long micros, double value) {
    predicate.update(micros, value);
    broken.update(micros, value < 0);
    current = value;
  }

  /** The run ends; its last instant still counts. */
  public void finish(long endMicros) {
    predicate.finish(endMicros);
  }

  /** The margin in the signal's unit; +∞ when there never was an obligation. */
  public double margin() {
    return always.margin();
  }

  /** The value that holds now; +∞ without an obligation. */
  public double current() {
    return current;
  }

  /**
   * For how long the value has been below 0, in seconds; 0 while it is not.
   *
   * @param micros no earlier than the last update
   */
  public double brokenS(long micros) {
    return broken.staysS(micros);
  }

  /** T in seconds: for so long the value may be below 0. */
  public double toleratedS() {
    return broken.boundS();
  }

  /** When the margin first was at its lowest, or −1 when there never was an obligation. */
  public long lowestAt() {
    return always.lowestAt();
  }

  /** The first instant at which the bound had been passed for longer than T, or −1. */
  public long violatedAt() {
    return always.violatedAt();
  }
}
