package islet.bench.report;

import islet.bench.Trace;

/**
 * Draws a recorded quantity so that nothing is lost that the eye could see: a sample holds until
 * the next, and where several fall into one column of the drawing, the first, the least, the
 * greatest and the last are kept in the order in which they came. A spike of one row stays as tall
 * in a year as in a second.
 */
final class StepPath {

  private static final int NOWHERE = Integer.MIN_VALUE;

  private final StringBuilder data;
  private final Scale scale;
  private int column = NOWHERE;
  private int first;
  private int least;
  private int greatest;
  private int last;
  private boolean leastCameFirst;
  private int penX = NOWHERE;
  private int penY;
  private int startX;
  private int reachedX;

  private StepPath(StringBuilder data, Scale scale) {
    this.data = data;
    this.scale = scale;
  }

  /** The path's data; empty when the quantity has no value in the axis' span. */
  static StringBuilder of(Trace trace, Quantity quantity, TimeAxis axis, Scale scale) {
    return new StepPath(new StringBuilder(4096), scale).follow(trace, quantity, axis, false);
  }

  /** The area between the quantity and {@code base}. */
  static StringBuilder area(Trace trace, Quantity quantity, TimeAxis axis, Scale scale) {
    return new StepPath(new StringBuilder(4096), scale).follow(trace, quantity, axis, true);
  }

  /**
   * The last row that is not after an instant, −1 when all are: the row whose values hold at that
   * instant.
   */
  static int rowAt(Trace trace, long micros) {
    int low = 0;
    int high = trace.rows();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (trace.micros(middle) <= micros) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low - 1;
  }

  private StringBuilder follow(Trace trace, Quantity quantity, TimeAxis axis, boolean fill) {
    int row = Math.max(0, rowAt(trace, axis.from()));
    for (; row < trace.rows() && trace.micros(row) <= axis.to(); row++) {
      int x = (int) Math.round(axis.x(trace.micros(row)));
      double value = quantity.at(trace, row);
      if (Double.isNaN(value)) {
        flush();
        lift(x, fill);
      } else {
        take(x, tenths(value));
      }
    }
    flush();
    lift((int) Math.round(axis.x(axis.to())), fill);
    return data;
  }

  private int tenths(double value) {
    return (int) Math.round(Math.max(-1e5, Math.min(1e5, scale.y(value) * 10)));
  }

  private void take(int x, int y) {
    if (x != column) {
      flush();
      column = x;
      first = y;
      least = y;
      greatest = y;
      leastCameFirst = true;
    } else if (y < least) {
      least = y;
      leastCameFirst = false;
    } else if (y > greatest) {
      greatest = y;
      leastCameFirst = true;
    }
    last = y;
  }

  private void flush() {
    if (column == NOWHERE) {
      return;
    }
    if (penX == NOWHERE) {
      data.append('M').append(column).append(' ');
      number(first);
      penX = column;
      startX = column;
      penY = first;
    }
    reachedX = column;
    to(first);
    to(leastCameFirst ? least : greatest);
    to(leastCameFirst ? greatest : least);
    to(last);
    column = NOWHERE;
  }

  /** Goes to a height in the present column; level stretches are drawn in one go. */
  private void to(int y) {
    if (y != penY) {
      reach(reachedX);
      data.append('V');
      number(y);
      penY = y;
    }
  }

  private void reach(int x) {
    if (x > penX) {
      data.append('H').append(x);
      penX = x;
    }
  }

  /** Ends a stretch at {@code x}: the last value holds until there. */
  private void lift(int x, boolean fill) {
    if (penX == NOWHERE) {
      return;
    }
    reach(x);
    if (fill) {
      data.append('V');
      number((int) Math.round(scale.y(Math.max(scale.low(), 0)) * 10));
      data.append('H').append(startX).append('Z');
    }
    penX = NOWHERE;
  }

  private void number(int tenths) {
    if (tenths < 0) {
      data.append('-');
    }
    int size = Math.abs(tenths);
    data.append(size / 10);
    if (size % 10 != 0) {
      data.append('.').append((char) ('0' + size % 10));
    }
  }
}
