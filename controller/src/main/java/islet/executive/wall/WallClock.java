package islet.executive.wall;

import islet.executive.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.function.LongSupplier;

/**
 * The machine's clock, which never goes back: when somebody sets it back, this one runs at half
 * speed until it is right again. For one thread.
 */
public final class WallClock implements Clock {

  private static final long MICROS_PER_SECOND = 1_000_000;

  private final LongSupplier wallMicros;
  private final LongSupplier steadyNanos;
  private long last;
  private long lastSteady;

  /** The clock of this machine. */
  public WallClock() {
    this(WallClock::machine, System::nanoTime);
  }

  /**
   * A given clock.
   *
   * @param wallMicros microseconds since 1970, may be set back
   * @param steadyNanos nanoseconds of a clock that never is
   */
  WallClock(LongSupplier wallMicros, LongSupplier steadyNanos) {
    this.wallMicros = wallMicros;
    this.steadyNanos = steadyNanos;
    last = wallMicros.getAsLong();
    lastSteady = steadyNanos.getAsLong();
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

  @Override
  public long micros() {
    long steady = steadyNanos.getAsLong();
    long slowest = last + (steady - lastSteady) / 2_000;
    last = Math.max(wallMicros.getAsLong(), slowest);
    lastSteady = steady;
    return last;
  }
}
