package islet.cli;

import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** The port of the page, as a person gives it. */
final class PagePort {

  private static final int HIGHEST = 65_535;

  private PagePort() {}

  /**
   * Reads {@code --page}.
   *
   * @return the port; 0 for one that is free
   * @throws ParameterException with a sentence when it is none
   */
  static int of(CommandLine command, String text) {
    try {
      int value = Integer.parseInt(text);
      if (value >= 0 && value <= HIGHEST) {
        return value;
      }
    } catch (NumberFormatException e) {
      // Told below.
    }
    throw new ParameterException(
        command,
        "--page: found \""
            + text
            + "\"; allowed is a whole number from 0 to 65535, for example 8080.");
  }
}
