package islet.executive.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/** The files of a journal: {@code islet-00000001.journal} and on, the newest last. */
public final class JournalFolder {

  private static final String BEGIN = "islet-";
  private static final String END = ".journal";
  private static final int DIGITS = 8;

  private final Path folder;

  /** A folder that need not exist yet. */
  public JournalFolder(Path folder) {
    this.folder = folder;
  }

  /**
   * What a new start finds.
   *
   * @param keepsake the last note of what is to be restored, if any
   * @param start the last note of a start, if one stands in the files that had to be read
   * @param lastSeq the highest number of a note, 0 when there is none
   * @param damaged whether a number is missing behind the keepsake, so that what is restored may be
   *     older than what was; a note that was torn by a sudden end never had its number
   */
  public record Past(
      Optional<Entry> keepsake, Optional<Entry> start, long lastSeq, boolean damaged) {}

  /**
   * Reads from the end back to the last keepsake, which each file has at its begin.
   *
   * @throws IOException when a file cannot be read
   */
  public Past past() throws IOException {
    List<Path> files = files();
    Optional<Entry> start = Optional.empty();
    Optional<Entry> keepsake = Optional.empty();
    long lastSeq = 0;
    boolean damaged = false;
    long next = 0;
    for (int i = files.size() - 1; i >= 0 && keepsake.isEmpty(); i--) {
      Segment segment = Segment.of(Files.readAllBytes(files.get(i)));
      for (int k = segment.entries().size() - 1; k >= 0; k--) {
        Entry entry = segment.entries().get(k);
        damaged |= next > 0 && keepsake.isEmpty() && entry.seq() + 1 != next;
        next = entry.seq();
        lastSeq = Math.max(lastSeq, entry.seq());
        if (entry.kind() == Entry.Kind.START && start.isEmpty()) {
          start = Optional.of(entry);
        }
        if (entry.kind() == Entry.Kind.KEEPSAKE && keepsake.isEmpty()) {
          keepsake = Optional.of(entry);
        }
      }
    }
    return new Past(keepsake, start, lastSeq, damaged);
  }

  /**
   * All sound notes in order.
   *
   * @throws IOException when a file cannot be read
   */
  public List<Entry> entries() throws IOException {
    List<Entry> entries = new ArrayList<>();
    for (Path file : files()) {
      entries.addAll(Segment.of(Files.readAllBytes(file)).entries());
    }
    return entries;
  }

  /** The files, the oldest first; none when there is no folder. */
  List<Path> files() throws IOException {
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Stream<Path> all = Files.list(folder)) {
      return all.filter(f -> number(f) > 0).sorted().toList();
    }
  }

  /** The name of a file by its number. */
  Path file(int number) {
    return folder.resolve(BEGIN + String.format("%0" + DIGITS + "d", number) + END);
  }

  /** The number in a file's name, 0 when it is no file of a journal. */
  static int number(Path file) {
    String name = String.valueOf(file.getFileName());
    if (name.length() != BEGIN.length() + DIGITS + END.length()
        || !name.startsWith(BEGIN)
        || !name.endsWith(END)) {
      return 0;
    }
    String digits = name.substring(BEGIN.length(), BEGIN.length() + DIGITS);
    return digits.chars().allMatch(c -> c >= '0' && c <= '9') ? Integer.parseInt(digits) : 0;
  }

  Path path() {
    return folder;
  }
}
