package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by the YAML 1.2 specification, and by what a settings file has no use for. */
class YamlReaderTest {
  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          `` | :1: found an empty file; allowed is fields with values. Copy one of the files in config.
          `# only a comment\n` | :1: found an empty file; allowed is fields with values. Copy one of the files in config.
          a: 1\\na: 2 | :2: found the field "a" a second time; allowed is each field once. Remove one of the two.
          a: 1\\n---\\nb: 2 | :2: found a second document; allowed is one document in a file. Split the file.
          a: &x 1\\nb: *x | :1: found an anchor; allowed is plain values. Remove the word after the "&".
          a: !!binary aGk= | :1: found the tag "tag:yaml.org,2002:binary"; allowed is plain values. Remove the tag.
          - a\\n- b | :1: found "[a, b]"; allowed is fields with values, each as "name: value".
          just words | :1: found "just words"; allowed is fields with values, each as "name: value".
          ? [a, b]\\n: 1 | :1: found a field whose name is a list; allowed is a name of one word.
          """)
  void refuses(String text, String sentence) throws IOException {
    Path file = Files.writeString(folder.resolve("x.yaml"), text.replace("\\n", "\n"));
    InputException e = assertThrows(InputException.class, () -> YamlReader.read(file));

    assertEquals(InputFile.shown(file) + sentence, e.getMessage());
  }

  @Test
  void saysWhereTextIsNotYaml() throws IOException {
    Path file = Files.writeString(folder.resolve("x.yaml"), "a: 1\nb: c: d\n");
    Problem problem = onlyProblem(file);

    assertEquals(2, problem.line());
    assertTrue(problem.found().startsWith("text that is not YAML ("), problem.found());
    assertTrue(problem.found().endsWith("at column 5)"), problem.found());
  }

  @ParameterizedTest
  @ValueSource(strings = {"a: [1, 2", "a: \"b", "\tb: 1", "a: }", "%YAML 9.9\n---\na: 1"})
  void anyBrokenTextIsToldAsInput(String text) throws IOException {
    Path file = Files.writeString(folder.resolve("x.yaml"), text);

    assertTrue(onlyProblem(file).found().startsWith("text that is not YAML"), text);
  }

  @Test
  void aFileThatIsNotThereOrIsAFolderIsToldByItsPath() {
    Path missing = folder.resolve("none.yaml");

    assertEquals(
        InputFile.shown(missing)
            + ": found no such file; allowed is a YAML file that exists."
            + " Check the path and its spelling.",
        onlyProblem(missing).toString());
    assertEquals("a folder or a device", onlyProblem(folder).found());
  }

  @Test
  void bytesThatAreNoTextAndFilesBeyondReasonAreRefused() throws IOException {
    Path latin =
        Files.write(folder.resolve("l.yaml"), "a: Fähre".getBytes(StandardCharsets.ISO_8859_1));
    Path large =
        Files.writeString(folder.resolve("b.yaml"), "a".repeat(YamlReader.MAXIMUM_BYTES + 1));
    Path deep = Files.writeString(folder.resolve("d.yaml"), "a: " + "[".repeat(5000));

    assertEquals("bytes that are not UTF-8", onlyProblem(latin).found());
    assertEquals("1000001 bytes", onlyProblem(large).found());
    assertEquals("values nested more than 20 deep", onlyProblem(deep).found());
  }

  @Test
  void valuesKnowWhereTheyStand() throws IOException {
    Path file = Files.writeString(folder.resolve("x.yaml"), "# top\na:\n  b: [1, {c: 2}]\n");
    Yaml.Mapping root = YamlReader.read(file);
    Yaml.Field c = Settings.find(root, "a.b.2.c").orElseThrow();

    assertEquals(new Location(InputFile.shown(file), 3, 11), c.name());
    assertEquals(new Location(InputFile.shown(file), 3, 14), c.value().at());
  }

  /** What is written in one line must mean the same to the reader. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "plain",
        "50 %",
        "-4 mV/K",
        "General:Lights [kW](Hourly)",
        "a: b",
        "- a",
        "#x",
        "null",
        "say \"no\" \\ yes",
        "  ",
        "00:00-05:00",
        "*x",
        "line\nbreak",
        "true",
        "0.5"
      })
  void textInOneLineReadsBack(String text) {
    Location at = new Location("x", 1, 1);
    Yaml.Sequence list = new Yaml.Sequence(List.of(new Yaml.Scalar(text, at)), at);
    Yaml.Sequence again = (Yaml.Sequence) YamlReader.value(list.oneLine(), at);

    assertEquals(text.strip(), ((Yaml.Scalar) again.items().get(0)).text());
  }

  private static Problem onlyProblem(Path file) {
    InputException e = assertThrows(InputException.class, () -> YamlReader.read(file));
    assertEquals(1, e.problems().size());
    return e.problems().get(0);
  }
}
