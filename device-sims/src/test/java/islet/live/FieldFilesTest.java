package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.app.ControllerCommand;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

/**
 * The files of config/field, judged by the command that they start and by the trial that measured
 * it. Whether the unit is one for systemd, {@code systemd-analyze verify} says.
 */
class FieldFilesTest {

  private static final Path FIELD = Path.of(System.getProperty("islet.root"), "config/field");

  private static Map<String, String> settings() throws IOException {
    return Files.readAllLines(FIELD.resolve("islet-controller.env")).stream()
        .filter(line -> !line.startsWith("#") && !line.isBlank())
        .map(line -> line.split("=", 2))
        .collect(Collectors.toMap(pair -> pair[0], pair -> pair[1]));
  }

  /** The words of the unit's command, with settings and specifiers filled in as systemd does. */
  private static List<String> command() throws IOException {
    String unit = Files.readString(FIELD.resolve("islet-controller.service")).replace("\\\n", " ");
    String start =
        unit.lines().filter(line -> line.startsWith("ExecStart=")).findFirst().orElseThrow();
    Map<String, String> settings = settings();
    List<String> words = new ArrayList<>();
    for (String word : start.substring("ExecStart=".length()).trim().split(" +", -1)) {
      String filled =
          word.replace("%S", "/var/lib").replace("${CREDENTIALS_DIRECTORY}", "/run/credentials");
      for (Map.Entry<String, String> setting : settings.entrySet()) {
        filled = filled.replace("${" + setting.getKey() + "}", setting.getValue());
      }
      boolean split = filled.startsWith("$") && settings.containsKey(filled.substring(1));
      if (split) {
        words.addAll(List.of(settings.getOrDefault(filled.substring(1), "").split(" +", -1)));
      } else {
        words.add(filled);
      }
    }
    return words;
  }

  @Test
  void theServiceStartsTheControllerWithOptionsThatItHasAsAnObserver() throws IOException {
    List<String> words = command();
    CommandLine.ParseResult parsed =
        new CommandLine(new ControllerCommand())
            .parseArgs(
                words
                    .subList(words.indexOf("controller") + 1, words.size())
                    .toArray(String[]::new));
    assertTrue(parsed.hasMatchedOption("--observe"));
    assertTrue(parsed.hasMatchedOption("--password-file"));
    assertEquals(
        "/var/lib/islet/journal", parsed.matchedOption("--journal").originalStringValues().get(0));
    assertTrue(words.stream().noneMatch(word -> word.contains("$")), words.toString());
  }

  @Test
  void theTrialMeasuresTheServicesOwnOptions() throws IOException {
    List<String> words = command();
    assertTrue(words.containsAll(FieldTrial.OPTIONS), words.toString());
  }
}
