package islet.executive.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A journal in files, written by whoever notes: it waits for the disk. {@link BackgroundJournal}
 * puts it on a thread of its own.
 *
 * <p>Nothing that stands is ever changed: a torn end stays where it is and the next note follows
 * it. A file that has grown beyond its limit is followed by a new one, which begins with the last
 * start and the last keepsake, so that it can be read without the others; then the oldest go,
 * beyond the number that is kept.
 */
public final class FileJournal implements Journal {

  private static final Logger LOG = LoggerFactory.getLogger(FileJournal.class);

  /** A file is followed by another when it is longer, bytes: some weeks of a quiet site. */
  public static final int FILE_LIMIT = 1024 * 1024;

  /** So many files are kept. */
  public static final int FILES_KEPT = 64;

  private static final String LOCK = "lock";

  private final JournalFolder folder;
  private final int fileLimit;
  private final int filesKept;
  private final FileChannel lockFile;
  private FileChannel file;
  private int number;
  private long length;
  private long seq;
  private long tickets;
  private long durable;
  private boolean failing;
  private Map<String, String> lastStart = Map.of();
  private Map<String, String> lastKeepsake = Map.of();

  /**
   * Opens a journal for writing; makes the folder when there is none.
   *
   * @param past what the folder holds already
   * @throws IOException with a sentence, when the folder cannot be written or another process does
   */
  public FileJournal(JournalFolder folder, JournalFolder.Past past) throws IOException {
    this(folder, past, FILE_LIMIT, FILES_KEPT);
  }

  FileJournal(JournalFolder folder, JournalFolder.Past past, int fileLimit, int filesKept)
      throws IOException {
    this.folder = folder;
    this.fileLimit = fileLimit;
    this.filesKept = filesKept;
    seq = past.lastSeq();
    lastStart = past.start().map(Entry::fields).orElse(Map.of());
    lastKeepsake = past.keepsake().map(Entry::fields).orElse(Map.of());
    Files.createDirectories(folder.path());
    lockFile = lock(folder.path().resolve(LOCK));
    List<Path> files = folder.files();
    number = files.isEmpty() ? 1 : JournalFolder.number(files.get(files.size() - 1));
    file = open(number);
    length = file.size();
  }

  /** Two processes in one journal would give two notes one number. */
  private static FileChannel lock(Path path) throws IOException {
    FileChannel channel =
        FileChannel.open(path, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
    Optional<FileLock> lock;
    try {
      lock = Optional.ofNullable(channel.tryLock());
    } catch (OverlappingFileLockException e) {
      lock = Optional.empty();
    }
    if (lock.isEmpty()) {
      channel.close();
      throw new IOException("another controller writes this journal already");
    }
    return channel;
  }

  private FileChannel open(int fileNumber) throws IOException {
    FileChannel channel =
        FileChannel.open(
            folder.file(fileNumber),
            StandardOpenOption.CREATE,
            StandardOpenOption.WRITE,
            StandardOpenOption.APPEND);
    try {
      if (channel.size() == 0) {
        write(channel, ByteBuffer.wrap(Segment.TITLE));
        channel.force(true);
        forceFolder();
      }
    } catch (IOException e) {
      channel.close();
      throw e;
    }
    return channel;
  }

  /** The new file's name must be on disk too; not every machine lets a folder be synchronised. */
  private void forceFolder() {
    try (FileChannel names = FileChannel.open(folder.path(), StandardOpenOption.READ)) {
      names.force(true);
    } catch (IOException e) {
      LOG.debug("The journal's folder cannot be synchronised here.", e);
    }
  }

  private static int write(FileChannel channel, ByteBuffer bytes) throws IOException {
    int written = 0;
    while (bytes.hasRemaining()) {
      written += channel.write(bytes);
    }
    return written;
  }

  @Override
  public long note(Entry.Kind kind, long atMicros, Map<String, String> fields, boolean now) {
    long ticket = ++tickets;
    switch (kind) {
      case START -> lastStart = new LinkedHashMap<>(fields);
      case KEEPSAKE -> lastKeepsake = new LinkedHashMap<>(fields);
      case STOP, EVENT, ALARM, ORDER, ANSWER -> {}
    }
    try {
      if (length > fileLimit) {
        next(atMicros);
      }
      append(kind, atMicros, fields);
      // What was lost meanwhile matters no more once the newest keepsake stands.
      failing &= kind != Entry.Kind.KEEPSAKE;
    } catch (IOException e) {
      failed(e);
    }
    if (now) {
      force();
    }
    return ticket;
  }

  private void append(Entry.Kind kind, long atMicros, Map<String, String> fields)
      throws IOException {
    // A number whose note was lost stays unused: the gap tells of it.
    seq++;
    length += write(file, Frame.of(seq, new Entry(seq, atMicros, kind, fields).payload()));
  }

  private void next(long atMicros) throws IOException {
    file.force(false);
    FileChannel former = file;
    file = open(number + 1);
    length = file.size();
    number++;
    former.close();
    append(Entry.Kind.START, atMicros, lastStart);
    append(Entry.Kind.KEEPSAKE, atMicros, lastKeepsake);
    file.force(false);
    List<Path> files = folder.files();
    for (int i = 0; i < files.size() - filesKept; i++) {
      Files.deleteIfExists(files.get(i));
    }
  }

  /** Brings everything noted so far onto the disk. */
  void force() {
    if (durable == tickets) {
      return;
    }
    try {
      file.force(false);
      if (!failing) {
        durable = tickets;
      }
    } catch (IOException e) {
      failed(e);
    }
  }

  private void failed(IOException e) {
    if (!failing) {
      LOG.error("The journal in {} cannot be written: {}", folder.path(), e.toString());
    }
    failing = true;
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
    return failing;
  }

  @Override
  public void close() {
    force();
    try {
      file.close();
      lockFile.close();
    } catch (IOException e) {
      failed(e);
    }
  }
}
