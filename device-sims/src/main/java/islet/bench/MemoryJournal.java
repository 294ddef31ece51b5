package islet.bench;

import islet.executive.journal.Entry;
import islet.executive.journal.Journal;
import java.util.ArrayDeque;
import java.util.Map;

/**
 * A supervisor's journal in memory: what it wants its successor to know, note by note. It outlives
 * the supervisor's process, as a disk would, and its tail may be lost.
 */
final class MemoryJournal implements Journal {

  /** As far back as a tail may be lost; of what is older the newest note is enough. */
  private static final long KEPT_MICROS = 86_400_000_000L;

  private final ArrayDeque<Entry> keepsakes = new ArrayDeque<>();
  private long notes;

  @Override
  public long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now) {
    notes++;
    if (kind == Entry.Kind.KEEPSAKE) {
      keepsakes.add(new Entry(notes, atMicros, kind, fields));
      trim(atMicros - KEPT_MICROS);
    }
    return notes;
  }

  private void trim(long before) {
    while (keepsakes.size() > 1) {
      Entry oldest = keepsakes.remove();
      if (keepsakes.element().atMicros() > before) {
        keepsakes.addFirst(oldest);
        return;
      }
    }
  }

  /** Loses all notes from an instant on, by the clock of whoever took them. */
  void lose(long fromMicros) {
    keepsakes.removeIf(entry -> entry.atMicros() >= fromMicros);
  }

  /** What the last supervisor wanted kept; empty when nothing was noted, or all of it is lost. */
  Map<String, String> past() {
    return keepsakes.isEmpty() ? Map.of() : keepsakes.getLast().fields();
  }

  @Override
  public long durable() {
    return notes;
  }

  @Override
  public boolean failing() {
    return false;
  }

  @Override
  public void close() {
    // It stays, as a disk does.
  }
}
