package islet.executive.journal;

import java.util.Map;

/**
 * Takes notes that outlive the process. Nothing here throws for a reason that lies with the disk:
 * that shows in {@link #failing()}, and whoever takes notes goes on.
 */
public interface Journal extends AutoCloseable {

  /** Keeps nothing, and never fails; rehearsals touch no disk. */
  Journal NONE =
      new Journal() {
        @Override
        public long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now) {
          return 0;
        }

        @Override
        public long durable() {
          return Long.MAX_VALUE;
        }

        @Override
        public boolean failing() {
          return false;
        }

        @Override
        public void close() {}
      };

  /**
   * Notes something.
   *
   * @param atMicros microseconds since 1970
   * @param fields names and texts, in the order in which they shall be read
   * @param now whether it must reach the disk at once; other notes do so within a second
   * @return a ticket; the note is on disk once {@link #durable()} is no less
   */
  long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now);

  /** The highest ticket up to which everything is on disk, save what {@link #failing} lost. */
  long durable();

  /** Notes that are not known to be on disk yet. Asked by whoever takes the notes. */
  default long waiting() {
    return 0;
  }

  /** Whether a note was lost, and no keepsake has been written since. */
  boolean failing();

  /** Writes what waits and lets go of the file. */
  @Override
  void close();
}
