package islet.bench;

import islet.bench.margin.Deadline;
import islet.contract.Device;
import islet.contract.Event;

/**
 * The supervisor goes from one mode to another, neither too early nor too late; the first time that
 * it does so counts. The margin is the time to the nearer of the two limits that were stated.
 */
final class TransitionCheck implements Expectations.Check {

  private final Expectation.Transition expected;
  private final long from;
  private final long until;
  private final long earliest;
  private final Deadline deadline;

  TransitionCheck(Expectation.Transition expected, long start) {
    this.expected = expected;
    from = start + expected.afterMicros();
    until = start + expected.untilMicros();
    earliest = from + expected.notBeforeMicros();
    deadline = new Deadline(from, Math.min(from + expected.withinMicros(), until));
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    if (micros >= from
        && micros <= until
        && device == Device.SUPERVISOR
        && event.kind().equals(Recorder.MODE)
        && event.from().equals(expected.from())
        && event.to().equals(expected.to())) {
      deadline.happened(micros);
    }
  }

  @Override
  public void finish(long endMicros) {
    deadline.finish(Math.min(endMicros, until));
  }

  @Override
  public Finding finding() {
    double margin = deadline.marginS();
    long at = deadline.metAt();
    if (at >= 0 && expected.notBeforeMicros() > 0) {
      margin = Math.min(margin, (at - earliest) / 1e6);
    }
    return new Finding(margin, margin, "s", margin < 0, at, expected.text());
  }
}
