package islet.live;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Copies of the demo site for trials: in other folders, with other names, in more of a hurry. */
final class TrialSite {

  private TrialSite() {}

  /**
   * Writes a site file and what it refers to.
   *
   * @param folder gets the folders sites and profiles
   * @param id the site's id
   * @param delay how long the utility must have been good, as the profile writes it; the demo's is
   *     300 s
   */
  static Path write(Path folder, String id, String delay) throws IOException {
    return write(folder, id, delay, "100 ms");
  }

  /**
   * The same with a cycle of its own.
   *
   * @param scan from scan to scan, as the site file writes it; the demo's is 100 ms
   */
  static Path write(Path folder, String id, String delay, String scan) throws IOException {
    Path config = Path.of(System.getProperty("islet.root"), "config");
    String profile = "ieee1547-2018-category-iii.yaml";
    Files.createDirectories(folder.resolve("sites"));
    Files.createDirectories(folder.resolve("profiles"));
    Files.writeString(
        folder.resolve("profiles").resolve(profile),
        replaced(
            Files.readString(config.resolve("profiles").resolve(profile)),
            "delay: 300 s",
            "delay: " + delay));
    String described = Files.readString(config.resolve("sites/ferry-landing.yaml"));
    String moved = replaced(described, "../loads/", config.resolve("loads") + "/");
    Path site = folder.resolve("sites").resolve(id + ".yaml");
    String timed = replaced(moved, "scan: 100 ms", "scan: " + scan);
    Files.writeString(site, replaced(timed, "id: ferry-landing", "id: " + id));
    return site;
  }

  private static String replaced(String text, String what, String by) {
    if (!text.contains(what)) {
      throw new IllegalStateException("\"" + what + "\" is not where it was");
    }
    return text.replace(what, by);
  }
}
