package islet.executive.journal;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.TimeUnit;

/**
 * A journal on a thread of its own, so that a slow disk never holds a scan. Notes that must be on
 * disk at once are so as soon as the disk lets them; the others within a second, many at a time.
 */
public final class BackgroundJournal implements Journal {

  /** Notes that may wait for the disk: many minutes of a busy site. */
  private static final int MOST_WAITING = 4096;

  /** What waits goes to the disk when no note has come for so long, or when so many have. */
  private static final long BATCH_MILLIS = 200;

  private static final int BATCH_NOTES = 64;
  private static final long CLOSE_MILLIS = 3_000;

  private record Waiting(
      long ticket, Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now) {}

  private final FileJournal journal;
  private final ArrayBlockingQueue<Waiting> waiting = new ArrayBlockingQueue<>(MOST_WAITING);
  private final Thread thread = new Thread(this::work, "islet-journal");
  private long tickets;
  private volatile long durable;
  private volatile boolean diskFails;
  private volatile boolean overflowed;
  private volatile boolean closing;

  /** Takes over a journal; nobody else may use it any more. */
  public BackgroundJournal(FileJournal journal) {
    this.journal = journal;
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now) {
    long ticket = ++tickets;
    boolean taken =
        waiting.offer(new Waiting(ticket, kind, atMicros, new LinkedHashMap<>(fields), now));
    // As on the disk's own failures: what was lost matters until a keepsake stands again.
    overflowed = !taken || (overflowed && kind != Entry.Kind.KEEPSAKE);
    return ticket;
  }

  private void work() {
    long written = 0;
    try {
      while (!closing || !waiting.isEmpty()) {
        Waiting next = waiting.poll(BATCH_MILLIS, TimeUnit.MILLISECONDS);
        boolean now = next == null || written - durable >= BATCH_NOTES;
        while (next != null) {
          journal.note(next.kind(), next.atMicros(), next.fields(), false);
          written = next.ticket();
          now |= next.now() || closing;
          next = waiting.poll();
        }
        if (now) {
          journal.force();
          diskFails = journal.failing();
          if (!diskFails) {
            durable = written;
          }
        }
        diskFails |= journal.failing();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      journal.close();
    }
  }

  @Override
  public long durable() {
    return durable;
  }

  @Override
  public long waiting() {
    return tickets - durable;
  }

  @Override
  public boolean failing() {
    return diskFails || overflowed || !thread.isAlive();
  }

  @Override
  public void close() {
    closing = true;
    try {
      thread.join(CLOSE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
