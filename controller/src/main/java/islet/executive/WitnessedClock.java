package islet.executive;

import java.util.function.LongSupplier;

/**
 * A clock that does not jump because the machine's was set: it runs on by a steady one until a
 * device's report bears the jump out. A wrong clock makes a supervisor dumb, since every device
 * refuses what is dated wrongly, and deaf, since it takes a person's orders for old ones. For one
 * thread.
 *
 * <p>While the two agree this clock follows the machine's, so that slow corrections come through;
 * when that is set back a little, it runs at half speed until it is right again.
 */
public final class WitnessedClock implements Clock {

  /**
   * More than this between two looks is a jump. Time services turn a clock at up to 0.5 ms a second
   * and set it when it is off by more than 0.128 s (RFC 5905, from memory).
   */
  private static final long JUMP_MICROS = 500_000;

  /**
   * A report may be long on its way, but comes from the future only by what two clocks differ: an
   * early one counts so much more against a clock than one as late.
   */
  private static final long EARLY_WEIGHT = 4;

  private final LongSupplier machineMicros;
  private final LongSupplier steadyMicros;

  /** This clock less the steady one. */
  private long offset;

  private long last;
  private long lastSteady;

  /**
   * Begins with the machine's time.
   *
   * @param machineMicros microseconds since 1970, may be set at any time
   * @param steadyMicros microseconds from anywhere, of a clock that is never set
   */
  public WitnessedClock(LongSupplier machineMicros, LongSupplier steadyMicros) {
    this.machineMicros = machineMicros;
    this.steadyMicros = steadyMicros;
    last = machineMicros.getAsLong();
    lastSteady = steadyMicros.getAsLong();
    offset = last - lastSteady;
  }

  @Override
  public long micros() {
    long steady = steadyMicros.getAsLong();
    long off = off(steady);
    if (Math.abs(off) <= JUMP_MICROS) {
      offset += off;
    }
    last = Math.max(steady + offset, last + (steady - lastSteady) / 2);
    lastSteady = steady;
    return last;
  }

  /** By how much the machine's clock is ahead of this one. */
  private long off(long steady) {
    return machineMicros.getAsLong() - steady - offset;
  }

  @Override
  public void heard(long datedMicros) {
    long steady = steadyMicros.getAsLong();
    long off = off(steady);
    if (Math.abs(off) <= JUMP_MICROS) {
      return;
    }
    long own = steady + offset;
    if (strangeness(datedMicros, own + off) < strangeness(datedMicros, own)) {
      offset += off;
      last = own + off;
      lastSteady = steady;
    }
  }

  /** How ill a report's date goes with the time at which it came. */
  private static long strangeness(long datedMicros, long cameMicros) {
    long late = cameMicros - datedMicros;
    return late >= 0 ? late : -EARLY_WEIGHT * late;
  }

  @Override
  public long disputedMicros() {
    long off = off(steadyMicros.getAsLong());
    return Math.abs(off) <= JUMP_MICROS ? 0 : off;
  }
}
