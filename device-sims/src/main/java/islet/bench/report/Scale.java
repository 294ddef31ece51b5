package islet.bench.report;

import java.util.ArrayList;
import java.util.List;

/**
 * A vertical axis with round ticks.
 *
 * @param low value at {@code bottom}
 * @param high value at {@code top}
 * @param step between ticks
 */
record Scale(double low, double high, double step, double top, double bottom) {

  /** About how far apart ticks shall be, in units of the drawing. */
  private static final double SPACING = 31;

  /** A scale that shows all values from {@code low} to {@code high}, widened to round numbers. */
  static Scale covering(double low, double high, double top, double bottom) {
    double span = Math.max(high - low, Math.max(1e-3, 1e-3 * Math.abs(high)));
    double step = round(span / Math.max(2, Math.floor((bottom - top) / SPACING)));
    double first = Math.floor(low / step + 1e-9) * step;
    double last = Math.ceil(high / step - 1e-9) * step;
    return new Scale(first, last > first ? last : first + step, step, top, bottom);
  }

  /** The least of 1, 2 and 5 times a power of ten that is not below {@code step}. */
  static double round(double step) {
    double power = 1;
    while (power > step) {
      power /= 10;
    }
    while (power * 10 <= step) {
      power *= 10;
    }
    double part = step / power;
    return part <= 1.000001 ? power : part <= 2 ? 2 * power : part <= 5 ? 5 * power : 10 * power;
  }

  double y(double value) {
    return bottom - (value - low) / (high - low) * (bottom - top);
  }

  List<Double> ticks() {
    List<Double> ticks = new ArrayList<>();
    long count = Math.round((high - low) / step);
    for (long i = 0; i <= count; i++) {
      double value = low + i * step;
      ticks.add(Math.abs(value) < step * 1e-6 ? 0.0 : value);
    }
    return ticks;
  }
}
