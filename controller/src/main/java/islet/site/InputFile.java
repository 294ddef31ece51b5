package islet.site;

import java.nio.file.Path;

/** How paths are resolved and shown. */
public final class InputFile {
  private InputFile() {}

  /**
   * A path in one form whoever wrote it: without detours, and relative to the working directory
   * where it lies below that. Below the root everything does, and a service's log would name no
   * place; there it stays whole.
   */
  public static Path tidy(Path path) {
    return tidy(path, Path.of("").toAbsolutePath().normalize());
  }

  static Path tidy(Path path, Path here) {
    Path there = path.toAbsolutePath().normalize();
    boolean below = here.getNameCount() > 0 && there.startsWith(here) && !there.equals(here);
    return below ? here.relativize(there) : there;
  }

  /** The file that {@code reference} names in a file that lies in {@code folder}. */
  public static Path beside(Path folder, String reference) {
    return tidy(folder.toAbsolutePath().resolve(reference));
  }

  /** The folder in which a file lies. */
  public static Path folder(Path file) {
    Path parent = file.toAbsolutePath().getParent();
    return parent == null ? file.toAbsolutePath() : parent;
  }

  /** A path as it is shown to a person: tidy, with forward slashes on every system. */
  public static String shown(Path path) {
    return tidy(path).toString().replace('\\', '/');
  }
}
