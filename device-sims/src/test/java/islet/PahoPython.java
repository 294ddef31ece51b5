package islet;

import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** A Python with the MQTT client of Debian's python3-paho-mqtt, which the examples need. */
public final class PahoPython {

  /** Where a distribution's packages are found, and whatever is first on the path. */
  private static final List<String> PLACES = List.of("/usr/bin/python3", "python3");

  private static final String CHECK =
      "import paho.mqtt as p, sys; sys.exit(0 if p.__version__.startswith('1.6') else 1)";

  private PahoPython() {}

  /** The program; the test that asks is left out where there is none, and fails with CI=true. */
  public static String insist() throws IOException, InterruptedException {
    Optional<String> found = find();
    if (found.isEmpty()) {
      assertNotEquals(
          "true",
          System.getenv("CI"),
          "python3-paho-mqtt is missing, and on a build server this test must not be left out.");
    }
    assumeTrue(found.isPresent(), "Install the package python3-paho-mqtt (1.6) for this test.");
    return found.orElseThrow();
  }

  private static Optional<String> find() throws IOException, InterruptedException {
    for (String place : PLACES) {
      try {
        Process check = new ProcessBuilder(place, "-c", CHECK).redirectErrorStream(true).start();
        if (check.waitFor() == 0) {
          return Optional.of(place);
        }
      } catch (IOException e) {
        if (place.equals(PLACES.get(PLACES.size() - 1))) {
          return Optional.empty();
        }
      }
    }
    return Optional.empty();
  }

  /** Starts a script, whose output goes where the test's goes. */
  public static Process start(String python, Path script, Object... arguments) throws IOException {
    List<String> words = new ArrayList<>(List.of(python, "-B", script.toString()));
    for (Object argument : arguments) {
      words.add(argument.toString());
    }
    return new ProcessBuilder(words).inheritIO().start();
  }

  /** Waits for its end; an error is the test's. */
  public static void awaitEnd(Process process) throws InterruptedException {
    boolean ended = process.waitFor(20, TimeUnit.SECONDS);
    process.destroyForcibly();
    assertTrue(ended, "the script did not end");
  }
}
