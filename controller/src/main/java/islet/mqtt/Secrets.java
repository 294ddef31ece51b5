package islet.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.List;
import java.util.Set;

/** Reads files that only their owner, or the group that runs the program, may read. */
public final class Secrets {

  private Secrets() {}

  /**
   * The password in a file's first line.
   *
   * @throws AccessException with a sentence when there is none or everybody can read it
   */
  public static byte[] password(Path file) throws AccessException {
    List<String> lines = text(file, "the password").lines().toList();
    if (lines.isEmpty() || lines.get(0).isEmpty()) {
      throw new AccessException(
          file + ": found no password; allowed is a file with the password in its first line.");
    }
    return lines.get(0).getBytes(StandardCharsets.UTF_8);
  }

  /**
   * The text of a file that holds a secret.
   *
   * @param what it holds, for a message
   * @throws AccessException with a sentence when it cannot be read or everybody can read it
   */
  static String text(Path file, String what) throws AccessException {
    try {
      if (isOpenToAll(file)) {
        throw new AccessException(
            file
                + ": found permissions that let every user of this machine read "
                + what
                + "; allowed is a file that only its owner or its group can read. chmod 600 "
                + file);
      }
      return Files.readString(file);
    } catch (IOException e) {
      throw new AccessException(
          file
              + ": found no readable text file ("
              + e.getClass().getSimpleName()
              + "); allowed is a file with "
              + what
              + ". Check the path and its permissions.",
          e);
    }
  }

  private static boolean isOpenToAll(Path file) throws IOException {
    if (!file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
      return false;
    }
    Set<PosixFilePermission> permissions = Files.getPosixFilePermissions(file);
    return permissions.contains(PosixFilePermission.OTHERS_READ);
  }
}
