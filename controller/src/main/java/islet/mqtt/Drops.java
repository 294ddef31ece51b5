package islet.mqtt;

import java.util.concurrent.atomic.LongAdder;

/** Counts what did not get through, from any thread. */
final class Drops {

  final LongAdder unsent = new LongAdder();
  final LongAdder unacknowledged = new LongAdder();
  final LongAdder oversized = new LongAdder();
  final LongAdder overflow = new LongAdder();
  final LongAdder failed = new LongAdder();
  final LongAdder refused = new LongAdder();
  final LongAdder strange = new LongAdder();

  PahoBroker.Counts counts() {
    return new PahoBroker.Counts(
        unsent.sum(),
        unacknowledged.sum(),
        oversized.sum(),
        overflow.sum(),
        failed.sum(),
        refused.sum(),
        strange.sum());
  }
}
