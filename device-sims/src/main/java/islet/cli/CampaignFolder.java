package islet.cli;

import islet.bench.RunFolderException;
import islet.bench.campaign.CampaignException;
import islet.bench.campaign.JUnitXml;
import islet.bench.campaign.ResultStore;
import islet.bench.campaign.Tally;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;

/** The folder that a campaign works in: its results grow there, and its reports are put beside. */
final class CampaignFolder {

  private static final String RESULTS = "results.sqlite";
  private static final String PAGE = "campaign.html";
  private static final String TEXT = "campaign.txt";
  private static final String JUNIT = "junit.xml";
  private static final String FAILURES = "failures";

  /** What the database keeps beside its file while it is open, or was when it was killed. */
  private static final Set<String> OURS =
      Set.of(
          RESULTS,
          RESULTS + "-wal",
          RESULTS + "-shm",
          RESULTS + "-journal",
          PAGE,
          TEXT,
          JUNIT,
          FAILURES);

  private final Path folder;

  private CampaignFolder(Path folder) {
    this.folder = folder;
  }

  /**
   * The folder, as far as it may be used.
   *
   * @param resume whether results that are there shall be gone on with
   * @throws RunFolderException when something stands there that no campaign wrote, or results that
   *     nobody asked to go on with, or none where somebody did
   */
  static CampaignFolder at(Path folder, boolean resume) throws RunFolderException, IOException {
    boolean there = Files.exists(folder.resolve(RESULTS));
    if (Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      refuseStrangers(folder);
    }
    if (there && !resume) {
      throw new RunFolderException(
          folder
              + ": found the results of a campaign; allowed is a new folder, or --resume to go on"
              + " with them. Choose another folder with --out, or remove this one.");
    }
    if (!there && resume) {
      throw new RunFolderException(
          folder
              + ": found no results to go on with; allowed with --resume is the folder of a campaign"
              + " that was begun. Leave --resume out, or name that folder with --out.");
    }
    return new CampaignFolder(folder);
  }

  private static void refuseStrangers(Path folder) throws RunFolderException, IOException {
    if (!Files.isDirectory(folder)) {
      throw new RunFolderException(
          folder + ": found a file; allowed is a folder. Choose another name with --out.");
    }
    try (Stream<Path> entries = Files.list(folder)) {
      List<String> others =
          entries
              .map(entry -> String.valueOf(entry.getFileName()))
              .filter(name -> !OURS.contains(name))
              .sorted()
              .toList();
      if (!others.isEmpty()) {
        throw new RunFolderException(
            folder
                + ": found "
                + others.get(0)
                + " in it, which no campaign wrote; allowed is a new name, an empty folder or a"
                + " campaign's own. Choose another folder with --out.");
      }
    }
  }

  /** Opens the results, or begins them. */
  ResultStore open(Map<String, String> about) throws IOException, CampaignException {
    Files.createDirectories(folder);
    return ResultStore.open(folder.resolve(RESULTS), about);
  }

  /** Writes the reports, each in one go. */
  void write(String page, String text, Tally tally, ResultStore store) throws IOException {
    put(folder.resolve(PAGE), out -> out.write(page));
    put(folder.resolve(TEXT), out -> out.write(text));
    put(folder.resolve(JUNIT), out -> JUnitXml.write(tally, store, out));
  }

  /** Writes a shrunk failure; returns its place from the folder. */
  String write(String name, String scenario) throws IOException {
    Files.createDirectories(folder.resolve(FAILURES));
    put(folder.resolve(FAILURES).resolve(name), out -> out.write(scenario));
    return FAILURES + "/" + name;
  }

  private interface Content {
    void to(Writer out) throws IOException;
  }

  private static void put(Path file, Content content) throws IOException {
    Path fresh = file.resolveSibling("." + file.getFileName() + ".new");
    try {
      try (Writer out = Files.newBufferedWriter(fresh, StandardCharsets.UTF_8)) {
        content.to(out);
      }
      Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } finally {
      Files.deleteIfExists(fresh);
    }
  }

  /** Where the page is. */
  Path page() {
    return folder.resolve(PAGE);
  }
}
