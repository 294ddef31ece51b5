package islet.control;

/**
 * Starts an inverter again that has tripped while the utility carries the panels, so that it stands
 * by for the next outage. The rule is that of an island: it is ordered off at once, which clears
 * its trip, may start again after a pause, and so only a few times in a row; then it stays off
 * until a person resets. Under manual authority a person starts it, by the same reset.
 *
 * <p>The count ends with the stay on the utility: in an outage there is no choice but to try.
 */
final class StandbyRestart {

  /** An inverter that has stood by for so long counts as started well (common practice). */
  private static final long GOOD_MICROS = 600_000_000;

  private final int mostFailed;
  private final long pauseMicros;
  private boolean down;

  /** When it was ordered on again; Long.MAX_VALUE when no start has to prove itself. */
  private long startedAt = Long.MAX_VALUE;

  /** Since when it rests; Long.MAX_VALUE when it does not. */
  private long restsSince = Long.MAX_VALUE;

  private int failed;

  /**
   * The rule.
   *
   * @param mostFailed after so many trips in a row it stays off
   * @param pauseMicros for so long it rests after each, in microseconds
   */
  StandbyRestart(int mostFailed, long pauseMicros) {
    this.mostFailed = mostFailed;
    this.pauseMicros = pauseMicros;
  }

  /**
   * Looks at one scan.
   *
   * @param connected the utility carries the panels
   * @param tripped the inverter says that its protection has stopped it
   * @param runs the inverter says that it stands by
   * @param byItself it may start without a person
   */
  void observe(boolean connected, boolean tripped, boolean runs, boolean byItself, long now) {
    if (!connected) {
      reset();
      down = false;
      return;
    }
    if (rests()) {
      if (now - restsSince >= pauseMicros && byItself && failed < mostFailed) {
        restsSince = Long.MAX_VALUE;
        startedAt = now;
      }
    } else if (tripped) {
      down = true;
      failed++;
      restsSince = now;
      startedAt = Long.MAX_VALUE;
    } else if (runs) {
      down = false;
      if (startedAt != Long.MAX_VALUE && now - startedAt >= GOOD_MICROS) {
        failed = 0;
        startedAt = Long.MAX_VALUE;
      }
    }
  }

  /** It has tripped, and does not stand by again. */
  boolean down() {
    return down;
  }

  /** It is to stay off for now. */
  boolean rests() {
    return restsSince != Long.MAX_VALUE;
  }

  /** A person has looked: it may start at once, and as often as at first. */
  void reset() {
    failed = 0;
    startedAt = Long.MAX_VALUE;
    restsSince = Long.MAX_VALUE;
  }

  void remember(Memory memory) {
    down = memory.flag("standby down", down);
    startedAt = memory.instant("standby started", startedAt);
    restsSince = memory.instant("standby rests", restsSince);
    failed = (int) memory.count("standby failed", failed);
  }
}
