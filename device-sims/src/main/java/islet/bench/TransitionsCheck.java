package islet.bench;

import islet.contract.Device;
import islet.contract.Event;
import java.util.ArrayList;
import java.util.List;

/**
 * The supervisor enters exactly these modes in this order, as it tells on the wire. The mode at the
 * beginning of the stretch may be listed first or left out. The margin is how many modes are
 * missing, in excess or in the wrong place, negative.
 */
final class TransitionsCheck implements Expectations.Check {

  /** Listing more would help nobody; a run that passes this is far from what was expected. */
  private static final int MOST = 10_000;

  private final Expectation.Transitions expected;
  private final long from;
  private final long until;
  private final List<String> entered = new ArrayList<>();
  private final List<Long> instants = new ArrayList<>();
  private String atBeginning = "";

  TransitionsCheck(Expectation.Transitions expected, long start) {
    this.expected = expected;
    from = start + expected.afterMicros();
    until = start + expected.untilMicros();
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    if (device != Device.SUPERVISOR || !event.kind().equals(Recorder.MODE)) {
      return;
    }
    if (micros < from) {
      atBeginning = event.to();
    } else if (micros <= until && entered.size() < MOST) {
      if (entered.isEmpty() && atBeginning.isEmpty()) {
        atBeginning = event.from();
      }
      entered.add(event.to());
      instants.add(micros);
    }
  }

  @Override
  public Finding finding() {
    List<String> wanted = expected.modes();
    boolean listsBeginning =
        wanted.size() == entered.size() + 1 && wanted.get(0).equals(atBeginning);
    List<String> compared = listsBeginning ? wanted.subList(1, wanted.size()) : wanted;
    int wrong = Math.abs(compared.size() - entered.size());
    long at = -1;
    for (int i = 0; i < Math.min(compared.size(), entered.size()); i++) {
      if (!compared.get(i).equals(entered.get(i))) {
        wrong++;
        at = at < 0 ? instants.get(i) : at;
      }
    }
    if (at < 0 && entered.size() > compared.size()) {
      at = instants.get(compared.size());
    }
    if (wrong == 0 && !instants.isEmpty()) {
      at = instants.get(instants.size() - 1);
    }
    return new Finding(-wrong, -wrong, "modes", wrong > 0, at, expected.text());
  }
}
