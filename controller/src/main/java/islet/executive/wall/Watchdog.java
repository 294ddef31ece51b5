package islet.executive.wall;

import islet.contract.Decimal;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;
import java.util.function.LongSupplier;

/**
 * Watches the thread that scans. When it has not come round for twenty cycles, and at least two
 * seconds, something has it for good; then a process that goes on pretending to supervise is worse
 * than none. Whoever is called ends the process, so that the heartbeat stops, the devices go on by
 * themselves, and a service manager starts it anew.
 */
public final class Watchdog {

  private static final int CYCLES = 20;
  private static final long LEAST_NANOS = TimeUnit.SECONDS.toNanos(2);

  private final FixedCycle cycle;
  private final LongSupplier steadyNanos;
  private final Consumer<String> bites;
  private final long limitNanos;

  /**
   * Watches a cycle.
   *
   * @param bites is told, on the watchdog's thread, in a sentence; ends the process
   */
  public Watchdog(FixedCycle cycle, Consumer<String> bites) {
    this(cycle, System::nanoTime, bites);
  }

  Watchdog(FixedCycle cycle, LongSupplier steadyNanos, Consumer<String> bites) {
    this.cycle = cycle;
    this.steadyNanos = steadyNanos;
    this.bites = bites;
    limitNanos = Math.max(LEAST_NANOS, CYCLES * cycle.periodNanos());
  }

  /** Looks from now on, on a thread of its own, until it bites. */
  public void start(Thread watched) {
    Thread thread = new Thread(() -> watch(watched), "islet-watchdog");
    thread.setDaemon(true);
    thread.start();
  }

  private void watch(Thread watched) {
    while (watched.isAlive()) {
      LockSupport.parkNanos(limitNanos / 8);
      // A look into another thread stops it for a moment, so only one that is silent is looked
      // into.
      if (silentNanos() > limitNanos && look(watched.getStackTrace())) {
        return;
      }
    }
  }

  private long silentNanos() {
    return steadyNanos.getAsLong() - cycle.aliveNanos();
  }

  /** Looks once; whether it bit. */
  boolean look(StackTraceElement... where) {
    long silent = silentNanos();
    if (silent <= limitNanos) {
      return false;
    }
    StringBuilder sentence =
        new StringBuilder("The scan has not come back for ")
            .append(Decimal.text(silent * 1e-9, 1))
            .append(" s; at most ")
            .append(Decimal.text(limitNanos * 1e-9, 1))
            .append(
                " s are allowed. The controller ends, so that the devices go on by themselves and"
                    + " it can be started anew. It was at:");
    for (StackTraceElement element : where) {
      sentence.append("\n  ").append(element);
    }
    bites.accept(sentence.toString());
    return true;
  }
}
