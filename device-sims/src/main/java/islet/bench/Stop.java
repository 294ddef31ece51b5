package islet.bench;

import java.util.List;

/**
 * A place in a scenario where a guided rehearsal waits for a person.
 *
 * @param atMicros when, in microseconds after the start of the run
 * @param act what the person does, or would do on the plant
 * @param see what should be seen
 * @param measure signals that are shown with their values, and that the person may measure
 * @param safety a caution for this step; empty when there is none beyond the usual
 */
public record Stop(long atMicros, String act, String see, List<Signal> measure, String safety) {

  public Stop {
    measure = List.copyOf(measure);
  }
}
