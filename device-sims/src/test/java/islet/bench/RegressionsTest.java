package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalLong;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What a campaign once found stays mended. Each file says in its head what was wrong; judged by the
 * hazards, which none of this supervisor's logic enters.
 */
class RegressionsTest {

  private static final Path REGRESSIONS =
      Path.of(System.getProperty("islet.root"), "config/campaigns/regressions");

  static Stream<Path> files() throws IOException {
    try (Stream<Path> files = Files.list(REGRESSIONS)) {
      return files.sorted().toList().stream();
    }
  }

  @Test
  void thereAreSome() throws IOException {
    assertTrue(files().count() >= 18);
  }

  @ParameterizedTest
  @MethodSource("files")
  void staysMended(Path file) {
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty());
    assertEquals(List.of(), Rehearsals.failures(Rehearsals.run(scenario)));
  }
}
