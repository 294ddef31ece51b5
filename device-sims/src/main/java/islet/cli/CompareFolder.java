package islet.cli;

import islet.bench.RunFolderException;
import islet.bench.compare.CompareJson;
import islet.bench.compare.CompareText;
import islet.bench.compare.Comparison;
import islet.bench.report.ComparePage;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The folder that a comparison leaves behind. One that stands there already is replaced; anything
 * else is left alone.
 */
final class CompareFolder {

  private static final String PAGE = "comparison.html";
  private static final String JSON = "comparison.json";
  private static final String TEXT = "comparison.txt";
  private static final Set<String> OURS = Set.of(PAGE, JSON, TEXT);

  private CompareFolder() {}

  /**
   * Whether a comparison may be written there; to be asked before long runs.
   *
   * @throws RunFolderException when something stands there that no comparison wrote
   * @throws IOException when the place cannot be read
   */
  static void check(Path folder) throws RunFolderException, IOException {
    if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    if (!Files.isDirectory(folder)) {
      throw refused(folder, "a file");
    }
    try (Stream<Path> entries = Files.list(folder)) {
      List<String> others =
          entries
              .map(entry -> String.valueOf(entry.getFileName()))
              .filter(name -> !OURS.contains(name))
              .sorted()
              .toList();
      if (!others.isEmpty()) {
        throw refused(folder, others.get(0) + " in it, which no comparison wrote");
      }
    }
  }

  private static RunFolderException refused(Path folder, String found) {
    return new RunFolderException(
        folder
            + ": found "
            + found
            + "; allowed is a new name, an empty folder, or a comparison to replace. Choose another"
            + " folder with --out.");
  }

  /** Writes the files, each in one go. */
  static void write(Path folder, Comparison comparison) throws IOException {
    write(
        folder,
        ComparePage.html(comparison),
        CompareJson.of(comparison),
        CompareText.of(comparison));
  }

  /** Writes what a comparison of any kind came to, each file in one go. */
  static void write(Path folder, String page, String json, String text) throws IOException {
    Files.createDirectories(folder);
    put(folder.resolve(PAGE), page);
    put(folder.resolve(JSON), json);
    put(folder.resolve(TEXT), text);
  }

  private static void put(Path file, String text) throws IOException {
    Path fresh = file.resolveSibling("." + file.getFileName() + ".new");
    try {
      Files.write(fresh, text.getBytes(StandardCharsets.UTF_8));
      Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } finally {
      Files.deleteIfExists(fresh);
    }
  }

  /** Where the page is. */
  static Path page(Path folder) {
    return folder.resolve(PAGE);
  }
}
