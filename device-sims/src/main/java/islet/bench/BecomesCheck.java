package islet.bench;

import islet.bench.margin.Deadline;

/** A signal takes a value in time; the margin is the time left. */
final class BecomesCheck extends SignalCheck {

  private final String text;
  private final int wanted;
  private final Deadline deadline;

  BecomesCheck(Expectation.Becomes expected, long start) {
    super(expected.signal(), start + expected.afterMicros(), start + expected.untilMicros());
    text = expected.text();
    wanted = word(expected.value());
    deadline =
        new Deadline(
            start + expected.afterMicros(),
            start
                + Math.min(
                    expected.afterMicros() + expected.withinMicros(), expected.untilMicros()));
  }

  @Override
  void value(long micros, double value) {
    deadline.update(micros, (int) value == wanted);
  }

  @Override
  void over(long micros) {
    deadline.finish(micros);
  }

  @Override
  public Finding finding() {
    return Deadlines.finding(deadline, text);
  }
}
