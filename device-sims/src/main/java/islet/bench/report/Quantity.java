package islet.bench.report;

import islet.bench.Signal;
import islet.bench.Trace;

/** Something that a trace has a value of in every row; NaN where it has none. */
@FunctionalInterface
interface Quantity {

  double at(Trace trace, int row);

  /** A signal as recorded. */
  static Quantity of(Signal signal) {
    return (trace, row) -> trace.value(row, signal);
  }

  /** A signal in another unit. */
  static Quantity of(Signal signal, double factor) {
    return (trace, row) -> trace.value(row, signal) * factor;
  }
}
