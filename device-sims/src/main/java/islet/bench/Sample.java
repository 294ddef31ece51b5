package islet.bench;

/** The value of every signal at one instant; reused, so whoever wants to keep it copies it. */
public final class Sample {

  private final double[] values = new double[Signal.all().size()];
  private long micros;

  /** The instant, microseconds since 1970. */
  public long micros() {
    return micros;
  }

  /** Sets the instant, microseconds since 1970. */
  public void at(long instant) {
    micros = instant;
  }

  /**
   * A signal's value, in the unit that its name carries; the index of the word for a signal of
   * words.
   */
  public double get(Signal signal) {
    return values[signal.ordinal()];
  }

  /** Whether a yes-or-no signal says yes. */
  public boolean is(Signal signal) {
    return values[signal.ordinal()] != 0;
  }

  /** Sets a signal's value. */
  public void set(Signal signal, double value) {
    values[signal.ordinal()] = value;
  }

  /** Sets a yes-or-no signal. */
  public void set(Signal signal, boolean value) {
    values[signal.ordinal()] = value ? 1 : 0;
  }

  /** Sets a signal of words by the constant. */
  public void set(Signal signal, Enum<?> value) {
    values[signal.ordinal()] = value.ordinal();
  }

  /** Takes over the instant and all values of another sample. */
  void copy(Sample other) {
    micros = other.micros;
    System.arraycopy(other.values, 0, values, 0, values.length);
  }

  /** Copies all values into {@code target} from {@code offset}. */
  void copyTo(double[] target, int offset) {
    System.arraycopy(values, 0, target, offset, values.length);
  }
}
