package islet.bench;

import islet.site.Site;

/**
 * For how long each panel has been without voltage, whoever is to blame. Dead is below {@link
 * OutOfSyncClose#DEAD_PU}. A panel without circuits is never dark.
 */
final class DarkTime implements Witness {

  private static final double MICROS_PER_SECOND = 1e6;

  private final boolean mainCounts;
  private boolean started;
  private boolean critical;
  private boolean main;
  private long at;
  private long criticalMicros;
  private long mainMicros;

  DarkTime(Site site) {
    mainCounts = site.circuits().stream().anyMatch(c -> c.panel() == Site.Panel.NONCRITICAL);
  }

  @Override
  public void truth(Truth truth) {
    settle(truth.micros());
    started = true;
    critical = truth.get(Signal.CRITICAL_VOLTAGE) < OutOfSyncClose.DEAD_PU;
    main = mainCounts && truth.get(Signal.MAIN_VOLTAGE) < OutOfSyncClose.DEAD_PU;
  }

  @Override
  public void finish(long endMicros) {
    settle(endMicros);
  }

  private void settle(long micros) {
    if (started && micros > at) {
      criticalMicros += critical ? micros - at : 0;
      mainMicros += main ? micros - at : 0;
    }
    at = Math.max(at, micros);
  }

  /** How long the emergency panel was dark, s. */
  double criticalS() {
    return criticalMicros / MICROS_PER_SECOND;
  }

  /** How long the main panel was dark, s. */
  double mainS() {
    return mainMicros / MICROS_PER_SECOND;
  }
}
