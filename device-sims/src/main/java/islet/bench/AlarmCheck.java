package islet.bench;

import islet.bench.margin.Deadline;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.Device;
import java.util.Locale;

/** An alarm is raised in time, or stands already; the margin is the time left. */
final class AlarmCheck implements Expectations.Check {

  private final Expectation.Alarm expected;
  private final Deadline deadline;
  private final long until;

  AlarmCheck(Expectation.Alarm expected, long start) {
    this.expected = expected;
    long from = start + expected.afterMicros();
    until = start + expected.untilMicros();
    deadline = new Deadline(from, Math.min(from + expected.withinMicros(), until));
  }

  /** An alarm's id as scenarios write it, such as {@code tie-not-open}. */
  static String id(AlarmId id) {
    return id.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    if (micros <= until && id(alarm.id()).equals(expected.id())) {
      deadline.update(micros, Alarms.stands(alarm.state()));
    }
  }

  @Override
  public void finish(long endMicros) {
    deadline.finish(Math.min(endMicros, until));
  }

  @Override
  public Finding finding() {
    return Deadlines.finding(deadline, expected.text());
  }
}
