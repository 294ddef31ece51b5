package islet.bench;

import java.util.Arrays;

/** Recorded samples: a fixed step and extra rows around events, in the order of time. */
public final class Trace {

  private final int width = Signal.all().size();
  private long[] micros = new long[4096];
  private double[] values = new double[4096 * width];
  private int rows;

  /** Keeps a copy of a sample; one at the instant of the last row takes its place. */
  public void add(Sample sample) {
    add(sample.micros(), sample);
  }

  /** Keeps a copy of a sample's values as those of another instant, at which they still hold. */
  void add(long instant, Sample sample) {
    if (rows > 0 && micros[rows - 1] == instant) {
      rows--;
    }
    if (rows == micros.length) {
      micros = Arrays.copyOf(micros, rows * 2);
      values = Arrays.copyOf(values, rows * 2 * width);
    }
    micros[rows] = instant;
    sample.copyTo(values, rows * width);
    rows++;
  }

  /** How many rows there are. */
  public int rows() {
    return rows;
  }

  /** The instant of a row, microseconds since 1970. */
  public long micros(int row) {
    return micros[row];
  }

  /** A signal's value in a row. */
  public double value(int row, Signal signal) {
    return values[row * width + signal.ordinal()];
  }
}
