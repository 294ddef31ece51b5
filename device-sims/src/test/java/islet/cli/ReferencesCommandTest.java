package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The rows judged by the published figures, and by what a wrong profile must do to them. */
class ReferencesCommandTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private final StringWriter out = new StringWriter();

  private int references(Path config) {
    return Main.run(
        new String[] {"references", "--format", "json", "--config", config.toString()},
        new PrintWriter(out),
        new PrintWriter(new StringWriter()));
  }

  @Test
  @LongTest
  void everyPublishedValueIsMetAndEveryCheckIsThere() throws IOException {
    int code = references(CONFIG);
    boolean complete = true;
    Set<String> ids = new TreeSet<>();
    for (JsonNode row : new ObjectMapper().readTree(out.toString())) {
      ids.add(row.get("id").asText());
      if (!row.get("notRun").asText().isEmpty()) {
        assertNotEquals("true", System.getenv("CI"), row.toString());
        assertFalse(row.get("pass").asBoolean(), row.toString());
        complete = false;
        continue;
      }
      assertTrue(row.get("pass").asBoolean(), row.toString());
      double error = Math.abs(row.get("computed").asDouble() - row.get("expected").asDouble());
      assertTrue(error <= row.get("tolerance").asDouble() + 1e-6, row.toString());
    }
    assertEquals(complete ? 0 : 3, code, "a judge that is missing has not passed anything");
    assertTrue(
        ids.containsAll(
            List.of(
                "R1", "R2", "R3", "R4", "R5", "R6", "R7", "R8", "R9", "R12", "R13", "R14", "R15",
                "R16", "R17", "R18", "R19", "R20", "R21", "R27")),
        ids.toString());
  }

  /** One wrong limit and one wrong clearing time: figure and measurement must both tell. */
  @Test
  @LongTest
  void aProfileWithWrongFiguresFails(@TempDir Path folder) throws IOException {
    copy(CONFIG.resolve("sites"), folder.resolve("sites"));
    copy(CONFIG.resolve("profiles"), folder.resolve("profiles"));
    copy(CONFIG.resolve("loads"), folder.resolve("loads"));
    copy(CONFIG.resolve("weather"), folder.resolve("weather"));
    Path profile = folder.resolve("profiles/ieee1547-2018-category-ii.yaml");
    String text = Files.readString(profile);
    String wrong =
        text.replace("overVoltage: 1.10 pu", "overVoltage: 1.12 pu")
            .replace(
                "underVoltage: 0.70 pu, clearing: 10.0 s",
                "underVoltage: 0.70 pu, clearing: 9.0 s");
    Files.writeString(profile, wrong);

    assertEquals(1, references(folder));
    Set<String> failed = new TreeSet<>();
    for (JsonNode row : new ObjectMapper().readTree(out.toString())) {
      if (!row.get("pass").asBoolean() && row.get("notRun").asText().isEmpty()) {
        failed.add(row.get("check").asText());
      }
    }
    assertEquals(
        Set.of(
            "category II, OV1",
            "category II, OV1, beyond it to contacts parted, measured",
            "category II, UV1, beyond it to contacts parted, measured"),
        failed);
  }

  private static void copy(Path from, Path to) throws IOException {
    Files.createDirectories(to);
    try (Stream<Path> files = Files.list(from)) {
      for (Path file : files.toList()) {
        Files.copy(file, to.resolve(file.getFileName()));
      }
    }
  }
}
