package islet.live;

import islet.bench.Scenario;
import islet.site.InputException;
import islet.site.Section;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What can be played, by name: the file that was asked for, those beside it, and those of the
 * folders {@code scenarios} and {@code sites} beside its folder. Whoever loads one names it; a path
 * from the wire is never opened.
 */
public final class Repertoire {

  private static final Logger LOG = LoggerFactory.getLogger(Repertoire.class);

  private static final String ENDING = ".yaml";
  private static final Pattern NAME = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._-]{0,62}");
  private static final String LESSON = "lesson-";

  /** What kind of piece it is. */
  public enum Group {
    LESSON,
    SCENARIO,
    SITE
  }

  /**
   * One piece.
   *
   * @param name its file's name without the ending
   * @param arrangement as the site's file writes it
   * @param playable whether a live run can play it: one that cuts links only a rehearsal can
   */
  public record Piece(
      String name,
      Path file,
      String title,
      String site,
      String arrangement,
      Group group,
      boolean playable) {}

  private final Map<String, Piece> pieces = new LinkedHashMap<>();

  /** Looks around a file, which comes first. What cannot be read is left out. */
  public Repertoire(Path file) {
    add(file);
    Path folder = Optional.ofNullable(file.toAbsolutePath().normalize().getParent()).orElse(file);
    List<Path> folders = new ArrayList<>(List.of(folder));
    for (String name : List.of("scenarios", "sites")) {
      folders.add(folder.resolveSibling(name));
    }
    folders.stream().distinct().filter(Files::isDirectory).forEach(this::addAll);
  }

  private void addAll(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      files.filter(f -> f.toString().endsWith(ENDING)).sorted().forEach(this::add);
    } catch (IOException e) {
      LOG.warn("The folder {} cannot be looked through for scenarios.", folder, e);
    }
  }

  private void add(Path file) {
    String name = nameOf(file);
    if (pieces.containsKey(name) || !NAME.matcher(name).matches()) {
      return;
    }
    try {
      Scenario scenario = SiteOrScenario.read(file);
      pieces.put(
          name,
          new Piece(
              name,
              file,
              scenario.title(),
              scenario.site().id(),
              Section.word(scenario.site().arrangement()),
              group(name, scenario),
              isPlayable(scenario)));
    } catch (InputException e) {
      LOG.debug("{} is left out, since it cannot be read.", file, e);
    }
  }

  private static Group group(String name, Scenario scenario) {
    if (SiteOrScenario.isAlone(scenario)) {
      return Group.SITE;
    }
    return name.startsWith(LESSON) ? Group.LESSON : Group.SCENARIO;
  }

  private static boolean isPlayable(Scenario scenario) {
    try {
      LiveRun.insistOnPlayable(scenario);
      return true;
    } catch (InputException e) {
      return false;
    }
  }

  /** The name under which a file can be played. */
  public static String nameOf(Path file) {
    String name = String.valueOf(file.getFileName());
    return name.endsWith(ENDING) ? name.substring(0, name.length() - ENDING.length()) : name;
  }

  /** All pieces, the first one first, then by folder and name. */
  public Collection<Piece> pieces() {
    return List.copyOf(pieces.values());
  }

  /** The piece of a name. */
  public Optional<Piece> named(String name) {
    return Optional.ofNullable(pieces.get(name));
  }
}
