package islet.plant;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** A text file of comma-separated lines, read with the place of every field at hand. */
final class DataLines {
  private final Path file;
  private final List<String> lines;

  private DataLines(Path file, List<String> lines) {
    this.file = file;
    this.lines = lines;
  }

  static DataLines read(Path file) {
    try {
      return new DataLines(file, Files.readAllLines(file, StandardCharsets.UTF_8));
    } catch (IOException e) {
      DataFileException failure =
          new DataFileException(
              file,
              0,
              "the file",
              e.getClass().getSimpleName(),
              "a readable text file in UTF-8 under this name");
      failure.initCause(e);
      throw failure;
    }
  }

  int count() {
    return lines.size();
  }

  /** The fields of a line counted from zero. */
  String[] fields(int index) {
    return lines.get(index).split(",", -1);
  }

  double number(int index, String[] fields, int column, String name, double low, double high) {
    String allowed = "a number between " + low + " and " + high;
    String text = column < fields.length ? fields[column].trim() : "";
    double value;
    try {
      value = Double.parseDouble(text);
    } catch (NumberFormatException e) {
      throw failure(index, label(column, name), text, allowed);
    }
    if (!(value >= low && value <= high)) {
      throw failure(index, label(column, name), text, allowed);
    }
    return value;
  }

  DataFileException failure(int index, String field, String found, String allowed) {
    return new DataFileException(file, index + 1, field, found, allowed);
  }

  private static String label(int column, String name) {
    return "column " + (column + 1) + " (" + name + ")";
  }
}
