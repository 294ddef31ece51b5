package islet.executive.wall;

import islet.executive.Clock;
import islet.executive.WitnessedClock;
import java.time.Duration;
import java.time.Instant;
import java.util.function.LongSupplier;

/** The machine's clocks, and the one clock in whose making the wall clock may be used. */
public final class WallClock {

  private static final long MICROS_PER_SECOND = 1_000_000;

  private WallClock() {}

  /** The time by the machine's clock, as far as the devices bear it out. For one thread. */
  public static Clock witnessed() {
    return new WitnessedClock(WallClock::machine, () -> System.nanoTime() / 1_000);
  }

  /** The machine's steady clock, ns from anywhere: for spans, and for any thread. */
  public static LongSupplier steady() {
    return System::nanoTime;
  }

  /** Lets time pass, for who looks on from outside; never on a thread that scans. */
  public static void rest(Duration span) throws InterruptedException {
    Thread.sleep(span.toMillis());
  }

  private static long machine() {
    Instant now = Instant.now();
    return now.getEpochSecond() * MICROS_PER_SECOND + now.getNano() / 1_000;
  }
}
