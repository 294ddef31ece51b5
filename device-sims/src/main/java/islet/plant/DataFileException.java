package islet.plant;

import java.nio.file.Path;

/**
 * A weather or load file can't be used; says which, where in it, what was found and what may be.
 */
public final class DataFileException extends RuntimeException {
  private static final long serialVersionUID = 1L;

  private final String file;
  private final int line;
  private final String field;
  private final String found;
  private final String allowed;

  DataFileException(Path file, int line, String field, String found, String allowed) {
    super(
        file
            + ", line "
            + line
            + ", "
            + field
            + ": found \""
            + found
            + "\"; allowed is "
            + allowed
            + ".");
    this.file = file.toString();
    this.line = line;
    this.field = field;
    this.found = found;
    this.allowed = allowed;
  }

  /** The file as it was named. */
  public String file() {
    return file;
  }

  /** Line, counted from 1; 0 when it concerns the file as a whole. */
  public int line() {
    return line;
  }

  /** The column or header field. */
  public String field() {
    return field;
  }

  /** What stood there. */
  public String found() {
    return found;
  }

  /** What may stand there. */
  public String allowed() {
    return allowed;
  }
}
