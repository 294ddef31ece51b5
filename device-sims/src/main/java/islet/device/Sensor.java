package islet.device;

import java.util.function.LongSupplier;

/**
 * One measured quantity: reads the plant's truth, and is where sensor faults bite. Unit and range
 * are those of the quantity that passes through.
 *
 * <p>What the device itself goes by is {@link #read}; what it tells on the wire is {@link #tell}.
 * Most faults sit in the sensor and spoil both. A slip of the unit, a reversed sign and a number
 * that is none sit in what is told.
 */
public final class Sensor {

  private static final double MICROS_PER_HOUR = 3_600e6;

  private final LongSupplier clock;
  private double bias;
  private double driftPerHour;
  private long driftsSince;
  private double noise;
  private long noiseSeed;
  private boolean stuck;
  private boolean holding;
  private double held;
  private boolean dead;
  private double slip = 1;
  private boolean reversed;
  private boolean notFinite;

  /** A sound sensor; the clock gives microseconds since 1970. */
  Sensor(LongSupplier clock) {
    this.clock = clock;
  }

  /** What the device reads when the truth is this. A dead sensor reads 0. */
  double read(double truth) {
    if (dead) {
      return 0;
    }
    if (stuck) {
      if (!holding) {
        held = truth + error();
        holding = true;
      }
      return held;
    }
    return truth + error();
  }

  private double error() {
    double all = bias;
    if (driftPerHour != 0) {
      all += drift();
    }
    return noise == 0 ? all : all + noise * Noise.at(noiseSeed, clock.getAsLong());
  }

  private double drift() {
    return driftPerHour * ((clock.getAsLong() - driftsSince) / MICROS_PER_HOUR);
  }

  /**
   * What the device tells when the truth is this; see {@link NonFinite} for a number that is none.
   */
  double tell(double truth) {
    if (notFinite) {
      return NonFinite.MARK;
    }
    double told = read(truth) * slip;
    return reversed ? -told : told;
  }

  /**
   * How much too high it reads: who holds a value by this sensor holds it so much too low. Noise
   * averages out.
   */
  double offset() {
    if (dead || stuck) {
      return 0;
    }
    return driftPerHour == 0 ? bias : bias + drift();
  }

  /** Whether it reads the truth. */
  boolean sound() {
    return !dead && !stuck && bias == 0 && driftPerHour == 0 && noise == 0;
  }

  /** Whether it tells in the unit that was agreed. */
  boolean inItsUnit() {
    return slip == 1 && !notFinite;
  }

  /** Adds a constant to every reading. */
  public void bias(double by) {
    bias = by;
  }

  /**
   * Adds what grows with time from now on; 0 ends that at once.
   *
   * @param perHour in the unit of the quantity, per hour
   */
  public void drift(double perHour) {
    driftPerHour = perHour;
    driftsSince = clock.getAsLong();
  }

  /**
   * Adds noise to every reading; 0 ends that.
   *
   * @param deviation standard deviation, in the unit of the quantity
   * @param seed the same seed gives the same noise at the same instant
   */
  public void noise(double deviation, long seed) {
    noise = deviation;
    noiseSeed = seed;
  }

  /** Freezes the reading at the next value, or lets it go. */
  public void stuck(boolean frozen) {
    stuck = frozen;
    holding = false;
  }

  /** Lets the reading fall to 0, or come back. */
  public void dead(boolean gone) {
    dead = gone;
  }

  /** Multiplies what is told, as millivolts taken for volts do; 1 ends that. */
  public void slip(double factor) {
    slip = factor;
  }

  /** Tells the opposite sign, as a shunt that is wired the wrong way round does. */
  public void reversed(boolean wrongWayRound) {
    reversed = wrongWayRound;
  }

  /** Tells what is no number. */
  public void notFinite(boolean none) {
    notFinite = none;
  }

  boolean isNotFinite() {
    return notFinite;
  }
}
