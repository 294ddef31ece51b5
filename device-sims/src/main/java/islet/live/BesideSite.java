package islet.live;

import islet.bench.Rearranged;
import islet.bench.Scenario;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Section;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * The site that runs beside another one, as a person names it: a file, or an arrangement. Of an
 * arrangement the file is looked for beside the first site's own: {@code landing.yaml} and {@code
 * landing-changeover.yaml} are the same landing, arranged otherwise.
 */
public final class BesideSite {

  private static final String OPTION = "--beside";
  private static final String ENDING = ".yaml";

  private final String named;

  /** One that is named so. */
  public BesideSite(String named) {
    this.named = named;
  }

  /**
   * The case of a scenario at this site.
   *
   * @throws InputException with a sentence when there is no such site, or it does not suit
   */
  public Rearranged of(Scenario first) {
    return Rearranged.of(first, file(first));
  }

  private Path file(Scenario first) {
    Optional<Site.Arrangement> wanted =
        Arrays.stream(Site.Arrangement.values())
            .filter(arrangement -> Section.word(arrangement).equals(named))
            .findFirst();
    if (wanted.isEmpty()) {
      return siteFile();
    }
    String own = Section.word(first.site().arrangement());
    if (own.equals(named)) {
      throw wrong(
          named + ", which " + first.site().name() + " is already",
          "another arrangement, or another site's file",
          "");
    }
    return kin(first, wanted.get());
  }

  private Path siteFile() {
    Path file = Path.of(named);
    if (!Files.isRegularFile(file)) {
      throw wrong(
          '"' + named + '"',
          "an arrangement ("
              + Arrays.stream(Site.Arrangement.values())
                  .map(Section::word)
                  .collect(Collectors.joining(", "))
              + ") or a site's file",
          "");
    }
    return file;
  }

  /** The same site's file in another arrangement. */
  private Path kin(Scenario first, Site.Arrangement wanted) {
    Path file = first.siteFile().toAbsolutePath().normalize();
    String stem = Repertoire.nameOf(file);
    String behind = "-" + Section.word(first.site().arrangement());
    if (stem.endsWith(behind)) {
      stem = stem.substring(0, stem.length() - behind.length());
    }
    TreeSet<String> there = new TreeSet<>();
    for (Path candidate : candidates(file, stem)) {
      Site.Arrangement found = arrangement(candidate);
      if (found == wanted) {
        return candidate;
      }
      if (found != first.site().arrangement()) {
        there.add(Section.word(found));
      }
    }
    throw wrong(
        named + ", for which " + InputFile.shown(first.siteFile()) + " has no file beside it",
        there.isEmpty() ? "a site's file" : String.join(", ", there) + ", or a site's file",
        "The file would be called " + stem + "-" + named + ENDING + ".");
  }

  private static List<Path> candidates(Path file, String stem) {
    List<Path> candidates = new ArrayList<>();
    for (Site.Arrangement arrangement : Site.Arrangement.values()) {
      candidates.add(file.resolveSibling(stem + "-" + Section.word(arrangement) + ENDING));
    }
    candidates.add(file.resolveSibling(stem + ENDING));
    return candidates.stream().filter(Files::isRegularFile).toList();
  }

  private static Site.Arrangement arrangement(Path file) {
    return SiteReader.read(file).arrangement();
  }

  private InputException wrong(String found, String allowed, String advice) {
    return new InputException(List.of(new Problem(OPTION, 0, "", found, allowed, advice)));
  }
}
