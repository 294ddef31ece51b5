package islet.judge;

import java.io.IOException;
import java.io.InterruptedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** Runs an installed program to its end and gives back what it printed. */
final class OutsideProgram {
  private static final int MISSING = 127;

  private OutsideProgram() {}

  /** Runs a program that comes in the package of its own name. */
  static String run(List<String> command, Path folder, long seconds)
      throws IOException, MissingProgramException {
    return run(command, command.get(0), folder, seconds);
  }

  /**
   * Runs a program in a folder.
   *
   * @param command program and arguments
   * @param needs the package that brings it
   * @param folder where it runs, and where what it prints is kept
   * @param seconds after which it is stopped
   * @return its standard output
   * @throws MissingProgramException when it isn't installed
   * @throws IOException when it fails or doesn't end; the message holds what it printed
   */
  static String run(List<String> command, String needs, Path folder, long seconds)
      throws IOException, MissingProgramException {
    Path output = folder.resolve("output.txt");
    Path errors = folder.resolve("errors.txt");
    // Through the shell, which tells a missing program (127) from one that fails.
    List<String> line = new ArrayList<>(List.of("/bin/sh", "-c", "exec \"$@\"", "sh"));
    line.addAll(command);
    Process process =
        new ProcessBuilder(line)
            .directory(folder.toFile())
            .redirectOutput(output.toFile())
            .redirectError(errors.toFile())
            .start();
    process.getOutputStream().close();
    try {
      if (!process.waitFor(seconds, TimeUnit.SECONDS)) {
        throw new IOException(command.get(0) + " did not end within " + seconds + " s.");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InterruptedIOException("Interrupted while " + command.get(0) + " ran.");
    } finally {
      process.destroyForcibly();
    }
    String text = Files.readString(output, StandardCharsets.UTF_8);
    if (process.exitValue() == MISSING) {
      throw new MissingProgramException(
          command.get(0) + " is missing; install the package " + needs + '.');
    }
    if (process.exitValue() != 0) {
      throw new IOException(
          command.get(0)
              + " left with code "
              + process.exitValue()
              + " and printed:\n"
              + text
              + Files.readString(errors, StandardCharsets.UTF_8));
    }
    return text;
  }
}
