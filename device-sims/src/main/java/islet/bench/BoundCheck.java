package islet.bench;

import islet.bench.margin.Sustained;

/** A signal stays on one side of a limit; the margin is in the signal's unit. */
final class BoundCheck extends SignalCheck {

  private final Expectation.Bound expected;
  private final Sustained margin;

  BoundCheck(Expectation.Bound expected, long start) {
    super(expected.signal(), start + expected.afterMicros(), start + expected.untilMicros());
    this.expected = expected;
    // Whoever allows an excursion longer than the whole stretch still expects the signal to be on
    // the right side once in it: an expectation that cannot fail says nothing.
    margin =
        new Sustained(
            Math.min(expected.allowingMicros(), expected.untilMicros() - expected.afterMicros()));
  }

  @Override
  void value(long micros, double value) {
    margin.update(
        micros,
        switch (expected.side()) {
          case ABOVE -> value - expected.limit();
          case BELOW -> expected.limit() - value;
        });
  }

  @Override
  void over(long micros) {
    margin.finish(micros);
  }

  @Override
  public Finding finding() {
    if (margin.lowestAt() < 0) {
      return new Finding(0, 0, unit(), true, -1, expected.text());
    }
    boolean violated = margin.violatedAt() >= 0;
    return new Finding(
        margin.margin(),
        margin.margin(),
        unit(),
        violated,
        violated ? margin.violatedAt() : margin.lowestAt(),
        expected.text());
  }
}
