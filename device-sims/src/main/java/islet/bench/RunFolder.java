package islet.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;

/**
 * The folder that a run leaves behind. It is written beside its place and moved there when it is
 * whole, so that nobody ever sees half of one. A run folder that stands there already is replaced;
 * anything else is left alone, above all a signed record and the answers of a person.
 *
 * <p>For the same run every file but {@code timing.json} is the same, byte for byte.
 */
public final class RunFolder {

  private static final String VERDICT = "verdict.json";
  private static final String EVENTS = "events.csv";
  private static final String TRACE = "trace.csv";
  private static final String REPORT = "report.html";
  private static final String SCENARIO = "scenario.yaml";
  private static final String TIMING = "timing.json";

  /** The signed record of a guided rehearsal, for machines. */
  public static final String RECORD_JSON = "record.json";

  /** The same for people. */
  public static final String RECORD_PAGE = "record.html";

  private static final String ANSWERS = "record.partial.jsonl";

  /** Folders of runs that were killed while writing; so many are stepped over. */
  private static final int MOST_LEFTOVERS = 1000;

  private static final Set<String> OURS = Set.of(VERDICT, EVENTS, TRACE, REPORT, SCENARIO, TIMING);

  private RunFolder() {}

  /**
   * Whether a run folder may be written there; to be asked before a long run.
   *
   * @throws RunFolderException when something stands there that is not a run folder, or that holds
   *     more than a run folder does
   * @throws IOException when the place cannot be read
   */
  public static void check(Path folder) throws RunFolderException, IOException {
    if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    if (Files.exists(answers(folder))) {
      throw new RunFolderException(
          answers(folder)
              + ": found the answers of a guided rehearsal that is not over, which would be lost;"
              + " allowed is to go on with it (--guided --resume) or another folder (--out).");
    }
    refuseRecord(folder);
    checkFiles(folder, OURS);
  }

  /**
   * Whether the run folder of a guided rehearsal may be written there.
   *
   * @param resume whether answers that are there shall be gone on with
   * @throws RunFolderException as {@link #check} does, or when there are answers that nobody asked
   *     to go on with, or none where somebody did
   */
  public static void checkGuided(Path folder, boolean resume)
      throws RunFolderException, IOException {
    boolean begun = Files.isRegularFile(answers(folder), LinkOption.NOFOLLOW_LINKS);
    if (!begun && !resume) {
      check(folder);
      return;
    }
    if (!begun) {
      throw new RunFolderException(
          folder
              + ": found no answers to go on with; allowed with --resume is the folder of a guided"
              + " rehearsal that was broken off. Leave --resume out, or name that folder with"
              + " --out.");
    }
    if (!resume) {
      throw new RunFolderException(
          answers(folder)
              + ": found answers of a guided rehearsal that was broken off; allowed is to go on"
              + " with it (--resume) or another folder (--out).");
    }
    refuseRecord(folder);
    try (Stream<Path> entries = Files.list(folder)) {
      if (entries.count() == 1) {
        return;
      }
    }
    Set<String> ours = new TreeSet<>(OURS);
    ours.add(ANSWERS);
    checkFiles(folder, ours);
  }

  private static void refuseRecord(Path folder) throws RunFolderException {
    for (String name : List.of(RECORD_JSON, RECORD_PAGE)) {
      if (Files.exists(folder.resolve(name), LinkOption.NOFOLLOW_LINKS)) {
        throw new RunFolderException(
            folder.resolve(name)
                + ": found a signed record, which would be lost; allowed is another folder (--out)."
                + " A record that nobody needs any more is removed by hand, with its folder.");
      }
    }
  }

  private static void checkFiles(Path folder, Set<String> ours)
      throws RunFolderException, IOException {
    if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)
        || !Files.isRegularFile(folder.resolve(VERDICT))) {
      throw new RunFolderException(
          folder
              + ": found something that is not a run folder (no "
              + VERDICT
              + " in it); allowed is a new name or a run folder to replace. Choose another folder"
              + " with --out.");
    }
    try (Stream<Path> entries = Files.list(folder)) {
      List<String> others =
          entries
              .map(entry -> String.valueOf(entry.getFileName()))
              .filter(name -> !ours.contains(name))
              .sorted()
              .toList();
      if (!others.isEmpty()) {
        throw new RunFolderException(
            folder
                + ": found "
                + others.get(0)
                + " in the run folder, which no run wrote and which would be lost; allowed is a run"
                + " folder as a run left it. Move it away, or choose another folder with --out.");
      }
    }
  }

  /**
   * Writes the folder.
   *
   * @throws RunFolderException as {@link #check} does; nothing was written then
   * @throws IOException when the disk is full or the place cannot be written; what was written has
   *     been taken away again
   */
  public static void write(Path folder, RunRecord run, Timing timing, ReportWriter report)
      throws RunFolderException, IOException {
    check(folder);
    put(folder, run, timing, report, Map.of());
  }

  /**
   * Writes the folder of a guided rehearsal; the answers in it have gone into the record.
   *
   * @param record the record's files by name
   * @throws RunFolderException as {@link #checkGuided} does; nothing was written then
   * @throws IOException as above; the answers are still there then
   */
  public static void writeGuided(
      Path folder, RunRecord run, Timing timing, ReportWriter report, Map<String, byte[]> record)
      throws RunFolderException, IOException {
    checkGuided(folder, true);
    put(folder, run, timing, report, record);
  }

  private static void put(
      Path folder, RunRecord run, Timing timing, ReportWriter report, Map<String, byte[]> more)
      throws RunFolderException, IOException {
    Path place = folder.toAbsolutePath().normalize();
    Path parent = place.getParent();
    Path name = place.getFileName();
    if (parent == null || name == null) {
      throw new RunFolderException(
          folder + ": found the root of the file system; allowed is a folder within it.");
    }
    Files.createDirectories(parent);
    Path fresh = beside(parent, "." + name + ".new");
    try {
      fill(fresh, run, timing, report);
      for (Map.Entry<String, byte[]> file : more.entrySet()) {
        Files.write(fresh.resolve(file.getKey()), file.getValue());
      }
      moveInto(place, fresh, parent, name);
    } finally {
      remove(fresh);
    }
  }

  /**
   * A new folder with the rights that any folder of this user gets; a temporary one would be closed
   * to others.
   */
  private static Path beside(Path parent, String name) throws IOException {
    for (int i = 0; ; i++) {
      try {
        return Files.createDirectory(parent.resolve(name + i));
      } catch (FileAlreadyExistsException e) {
        if (i == MOST_LEFTOVERS) {
          throw e;
        }
      }
    }
  }

  private static void fill(Path folder, RunRecord run, Timing timing, ReportWriter report)
      throws IOException {
    for (Map.Entry<String, byte[]> file : files(run, report).entrySet()) {
      Files.write(folder.resolve(file.getKey()), file.getValue());
    }
    Files.write(folder.resolve(TIMING), VerdictJson.timing(timing));
  }

  /**
   * The files of a run that are the same whenever it is run, by name: all but the timing.
   *
   * @throws IOException never, since nothing but memory is written
   */
  public static Map<String, byte[]> files(RunRecord run, ReportWriter report) throws IOException {
    ZoneId zone = run.site().place().zone();
    Map<String, byte[]> files = new LinkedHashMap<>();
    files.put(VERDICT, VerdictJson.verdict(run.result()));
    files.put(EVENTS, Csv.events(run.events(), run.startMicros(), zone));
    files.put(TRACE, Csv.trace(run.trace(), run.startMicros(), zone));
    files.put(SCENARIO, run.scenarioYaml().getBytes(StandardCharsets.UTF_8));
    files.put(REPORT, report.html(run).getBytes(StandardCharsets.UTF_8));
    return files;
  }

  /** Where the answers of a guided rehearsal stand until they have become a record. */
  public static Path answers(Path folder) {
    return folder.resolve(ANSWERS);
  }

  /** The signals in a run folder. */
  public static Path trace(Path folder) {
    return folder.resolve(TRACE);
  }

  /** The sequence of events in a run folder. */
  public static Path events(Path folder) {
    return folder.resolve(EVENTS);
  }

  /** The scenario in a run folder. */
  public static Path scenario(Path folder) {
    return folder.resolve(SCENARIO);
  }

  private static void moveInto(Path place, Path fresh, Path parent, Path name) throws IOException {
    if (!Files.exists(place, LinkOption.NOFOLLOW_LINKS)) {
      Files.move(fresh, place, StandardCopyOption.ATOMIC_MOVE);
      return;
    }
    Path old = beside(parent, "." + name + ".old");
    try {
      Files.move(place, old.resolve(name), StandardCopyOption.ATOMIC_MOVE);
      try {
        Files.move(fresh, place, StandardCopyOption.ATOMIC_MOVE);
      } catch (IOException e) {
        Files.move(old.resolve(name), place, StandardCopyOption.ATOMIC_MOVE);
        throw e;
      }
    } finally {
      remove(old);
    }
  }

  /** Takes away a folder of ours with the files in it; one that is gone is well. */
  private static void remove(Path folder) throws IOException {
    if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    try (Stream<Path> entries = Files.list(folder)) {
      entries.forEach(RunFolder::removeEntry);
    } catch (UncheckedIOException e) {
      throw new IOException(String.valueOf(e.getMessage()), e);
    }
    Files.delete(folder);
  }

  private static void removeEntry(Path entry) {
    try {
      if (Files.isDirectory(entry, LinkOption.NOFOLLOW_LINKS)) {
        remove(entry);
      } else {
        Files.delete(entry);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
