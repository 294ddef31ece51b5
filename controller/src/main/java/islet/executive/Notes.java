package islet.executive;

import islet.contract.Ack;
import islet.contract.SupervisorCommand;
import islet.control.Outputs;
import islet.control.Supervisor;
import islet.executive.journal.Entry;
import islet.executive.journal.Journal;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * What the executive journals: events and alarms as they come, operators' orders with what follows
 * from them, and what the supervisor wants kept, at once when it has changed and once a minute for
 * what drifts.
 */
final class Notes {

  /** The estimate of charge is noted so often. */
  private static final long DRIFT_MICROS = 60_000_000;

  /** So often it is looked whether something to be kept has changed without an event. */
  private static final long LOOK_MICROS = 1_000_000;

  private static final long NEVER = Long.MIN_VALUE / 2;

  private final Journal journal;
  private final Supervisor supervisor;
  private final Map<String, String> asNew;
  private Map<String, String> firm = Map.of();
  private long keptAt = NEVER;
  private long lookedAt = NEVER;

  /**
   * Begins to take notes.
   *
   * @param asNew what a supervisor that has not scanned yet would keep
   */
  Notes(Journal journal, Supervisor supervisor, Map<String, String> asNew) {
    this.journal = journal;
    this.supervisor = supervisor;
    this.asNew = asNew;
  }

  boolean failing() {
    return journal.failing();
  }

  long durable() {
    return journal.durable();
  }

  void happened(Outputs out, long now) {
    if (journal == Journal.NONE) {
      return;
    }
    for (int i = 0; i < out.events(); i++) {
      var unused =
          journal.note(
              Entry.Kind.EVENT,
              now,
              fields(
                  "what", out.kind(i), "from", out.from(i), "to", out.to(i), "why", out.reason(i)),
              false);
    }
    for (int i = 0; i < out.alarms(); i++) {
      var unused =
          journal.note(
              Entry.Kind.ALARM,
              now,
              fields("id", out.alarmId(i).name(), "state", out.alarmState(i).name()),
              false);
    }
  }

  void ordered(SupervisorCommand order, long now) {
    if (journal == Journal.NONE) {
      return;
    }
    var unused =
        journal.note(
            Entry.Kind.ORDER,
            now,
            fields(
                "order",
                order.order().name(),
                "key",
                order.key(),
                "command",
                Long.toString(order.seq())),
            false);
  }

  void answered(Ack ack, long now) {
    if (journal == Journal.NONE) {
      return;
    }
    var unused =
        journal.note(
            Entry.Kind.ANSWER,
            now,
            fields(
                "command",
                Long.toString(ack.command()),
                "result",
                ack.result().name(),
                "why",
                ack.reason()),
            false);
  }

  /**
   * Notes what the supervisor wants kept, if it is time or has changed.
   *
   * @param atOnce whether an operator waits for it
   * @return the ticket of what was noted last, for the one who waits
   */
  long keep(boolean atOnce, Outputs out, long now) {
    if (journal == Journal.NONE) {
      return 0;
    }
    boolean look = atOnce || out.events() > 0 || out.alarms() > 0 || now - lookedAt >= LOOK_MICROS;
    if (!look) {
      return 0;
    }
    lookedAt = now;
    KeepsakeNotes notes = KeepsakeNotes.of(supervisor, asNew);
    boolean due = now - keptAt >= DRIFT_MICROS || journal.failing();
    if (!atOnce && !due && notes.firm().equals(firm)) {
      return 0;
    }
    firm = notes.firm();
    keptAt = now;
    return journal.note(Entry.Kind.KEEPSAKE, now, notes.all(), atOnce);
  }

  /** Names and texts in the order given. */
  static Map<String, String> fields(String... namesAndTexts) {
    Map<String, String> fields = new LinkedHashMap<>();
    for (int i = 0; i < namesAndTexts.length; i += 2) {
      if (!namesAndTexts[i + 1].isEmpty()) {
        fields.put(namesAndTexts[i], namesAndTexts[i + 1]);
      }
    }
    return fields;
  }
}
