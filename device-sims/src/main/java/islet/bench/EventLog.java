package islet.bench;

import java.util.ArrayList;
import java.util.List;

/** The sequence of events, to the millisecond. */
public final class EventLog {

  /**
   * One event.
   *
   * @param micros when, microseconds since 1970
   * @param source who or what: a device, the utility, an operator, the bench
   * @param kind what kind of thing, such as mode, contact, state, fault
   */
  public record Row(
      long micros, String source, String kind, String from, String to, String reason) {}

  private final List<Row> rows = new ArrayList<>();

  /** Adds an event; they come in the order of time. */
  public void add(long micros, String source, String kind, String from, String to, String reason) {
    rows.add(new Row(micros, source, kind, from, to, reason));
  }

  /** The events so far. */
  public List<Row> rows() {
    return List.copyOf(rows);
  }
}
