package islet.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;

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
  private Consumer<Row> listener = row -> {};

  /** Lets somebody hear each event as it is added, on the thread that adds it. */
  public void listen(Consumer<Row> hears) {
    listener = hears;
  }

  /** Adds an event; they come in the order of time. */
  public void add(long micros, String source, String kind, String from, String to, String reason) {
    Row row = new Row(micros, source, kind, from, to, reason);
    rows.add(row);
    listener.accept(row);
  }

  /** The events so far. */
  public List<Row> rows() {
    return List.copyOf(rows);
  }
}
