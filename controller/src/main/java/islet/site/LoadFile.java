package islet.site;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;

/** The heading of a load file: comma-separated values, names of columns in the first line. */
final class LoadFile {
  private LoadFile() {}

  /**
   * The names of all columns, without blanks around them.
   *
   * @throws InputException when the file can't be read
   */
  static List<String> columns(Path file) {
    try (BufferedReader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
      String heading = reader.readLine();
      if (heading == null) {
        throw wrong(file, "an empty file");
      }
      return Arrays.stream(heading.split(",", -1)).map(String::strip).toList();
    } catch (IOException e) {
      throw wrong(file, "a file that can't be read (" + e.getClass().getSimpleName() + ")");
    }
  }

  private static InputException wrong(Path file, String found) {
    return new InputException(
        List.of(
            new Problem(
                InputFile.shown(file), 1, "", found, "comma-separated values with a heading", "")));
  }
}
