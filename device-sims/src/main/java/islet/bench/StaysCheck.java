package islet.bench;

import islet.bench.margin.LongestStay;

/** A signal keeps a value, but for so long at a stretch; the margin is the time left of that. */
final class StaysCheck extends SignalCheck {

  private final String text;
  private final int wanted;
  private final LongestStay astray;

  StaysCheck(Expectation.Stays expected, long start) {
    super(expected.signal(), start + expected.afterMicros(), start + expected.untilMicros());
    text = expected.text();
    wanted = word(expected.value());
    astray = new LongestStay(expected.allowingMicros());
  }

  @Override
  void value(long micros, double value) {
    astray.update(micros, (int) value != wanted);
  }

  @Override
  void over(long micros) {
    astray.finish(micros);
  }

  @Override
  public Finding finding() {
    boolean violated = astray.violatedAt() >= 0 || !judged();
    return new Finding(
        astray.marginS(),
        astray.marginS(),
        "s",
        violated,
        astray.violatedAt() >= 0 ? astray.violatedAt() : astray.longestEnd(),
        text);
  }
}
