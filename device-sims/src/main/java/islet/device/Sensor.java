package islet.device;

/**
 * One measured quantity: reads the plant's truth, and is where sensor faults bite. Unit and range
 * are those of the quantity that passes through.
 */
public final class Sensor {

  private double bias;
  private boolean stuck;
  private boolean holding;
  private double held;
  private boolean dead;

  /** What the device reads when the truth is this. A dead sensor reads 0. */
  double read(double truth) {
    if (dead) {
      return 0;
    }
    if (stuck) {
      if (!holding) {
        held = truth + bias;
        holding = true;
      }
      return held;
    }
    return truth + bias;
  }

  /** How much too high it reads: who holds a value by this sensor holds it so much too low. */
  double offset() {
    return dead || stuck ? 0 : bias;
  }

  /** Adds a constant to every reading. */
  public void bias(double by) {
    bias = by;
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
}
