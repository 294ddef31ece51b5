package islet.bench;

/**
 * The two sides of an open tie as they were when its closing could still be called back: the last
 * sample that is older than the lag. From it follows how far apart the sides would be, had nothing
 * happened since: the angle goes on with the difference of frequencies.
 */
final class LastLook {

  /** More samples than this within one lag, and a younger one has to do, which judges harder. */
  private static final int MOST = 64;

  private final long lagMicros;
  private final long[] at = new long[MOST];
  private final double[] utilityPu = new double[MOST];
  private final double[] islandPu = new double[MOST];
  private final double[] deltaHz = new double[MOST];
  private final double[] deltaDeg = new double[MOST];
  private int first;
  private int held;

  LastLook(long lagMicros) {
    this.lagMicros = lagMicros;
  }

  /** The tie is open, and this is how its two sides stand; of several at one instant the last. */
  void take(long micros, double utility, double island, double hz, double deg) {
    drop(micros);
    int last = (first + held - 1) % MOST;
    if (held == 0 || at[last] != micros) {
      if (held == MOST) {
        first = (first + 1) % MOST;
        held--;
      }
      last = (first + held++) % MOST;
    }
    at[last] = micros;
    utilityPu[last] = utility;
    islandPu[last] = island;
    deltaHz[last] = hz;
    deltaDeg[last] = deg;
  }

  /** Drops what a younger sample that is old enough replaces. */
  private void drop(long micros) {
    while (held > 1 && micros - at[(first + 1) % MOST] > lagMicros) {
      first = (first + 1) % MOST;
      held--;
    }
  }

  /** Whether there is a sample that is old enough, and both sides lived in it. */
  boolean bothLive(long micros) {
    drop(micros);
    return held > 0
        && micros - at[first] > lagMicros
        && utilityPu[first] >= OutOfSyncClose.DEAD_PU
        && islandPu[first] >= OutOfSyncClose.DEAD_PU;
  }

  double deltaPu() {
    return islandPu[first] - utilityPu[first];
  }

  double deltaHz() {
    return deltaHz[first];
  }

  /** Island's angle ahead of the utility's at an instant, had nothing happened, −180 to 180°. */
  double deltaDeg(long micros) {
    double turns = deltaDeg[first] / 360 + deltaHz[first] * (micros - at[first]) / 1e6;
    return 360 * (turns - Math.rint(turns));
  }

  /** The tie has closed: a later opening begins anew. */
  void forget() {
    held = 0;
  }
}
