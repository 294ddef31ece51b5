package islet.bench.check;

import islet.site.Section;
import islet.site.Setting;
import java.nio.file.Path;
import java.util.List;

/** Where the settings of a site file stand. */
final class Fields {

  /** A line of a file; line 0 of an option when a setting was given on the command line. */
  record Place(String file, int line) {}

  private final Section root;

  private Fields(Section root) {
    this.root = root;
  }

  /** Of a site file that has been read without complaint, with the same settings. */
  static Fields of(Path file, List<Setting> settings) {
    return Section.read(
        file,
        settings,
        section -> {
          section.names(); // what each means is not for this reading to say
          return new Fields(section);
        });
  }

  /** Of a setting, or of the innermost part that should hold it. */
  Place place(String field) {
    String path = field;
    while (!root.has(path) && path.contains(".")) {
      path = path.substring(0, path.lastIndexOf('.'));
    }
    return new Place(root.file(path), root.line(path));
  }
}
