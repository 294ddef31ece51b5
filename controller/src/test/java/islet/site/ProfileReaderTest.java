package islet.site;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The profile to fill in, judged by its own question marks and by the shipped profile of category
 * II, whose numbers are put in their places.
 */
class ProfileReaderTest {
  private static final Path PROFILES =
      Path.of(System.getProperty("islet.root")).resolve("config/profiles");
  private static final Path BLANK = PROFILES.resolve("blank.yaml");
  private static final Pattern MARK = Pattern.compile(": \"\\?\"");

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  @Test
  void theBlankIsRefusedAtEachOfItsQuestionMarks() throws IOException {
    List<Problem> problems = problems(BLANK);
    int line = 0;
    int marks = 0;
    for (String text : Files.readAllLines(BLANK)) {
      line++;
      int here = (int) MARK.matcher(text).results().count();
      int told = line;
      marks += here;
      assertEquals(
          here, problems.stream().filter(p -> p.line() == told).count(), "line " + line + text);
    }
    assertTrue(marks > 20, "question marks in the blank: " + marks);
    assertEquals(marks, problems.size());
    assertTrue(problems.stream().allMatch(p -> p.found().equals("\"?\"")), problems.toString());
  }

  @Test
  void filledInItIsTheProfileThatWasMeant() throws IOException {
    GridProfile filled = ProfileReader.read(filled("category II, copied by hand"));
    GridProfile shipped = ProfileReader.read(PROFILES.resolve("ieee1547-2018-category-ii.yaml"));

    assertEquals("category II, copied by hand", filled.name());
    assertEquals(shipped.trips(), filled.trips());
    assertEquals(shipped.enter(), filled.enter());
    assertEquals(shipped.sync(), filled.sync());
    assertEquals(shipped.islandDetectionS(), filled.islandDetectionS());
    assertEquals(shipped.cessationBelowPu(), filled.cessationBelowPu());
  }

  @Test
  void aNameLeftOutIsToldByItself() throws IOException {
    List<Problem> problems = problems(filled("?"));

    assertEquals(1, problems.size(), problems.toString());
    assertEquals("name", problems.get(0).field());
  }

  private static List<Problem> problems(Path file) {
    return assertThrows(InputException.class, () -> ProfileReader.read(file)).problems();
  }

  /** The blank with category II's values in their order. */
  private Path filled(String name) throws IOException {
    Deque<String> values =
        new ArrayDeque<>(
            List.of(
                name,
                "the test",
                "1.20 pu",
                "160 ms",
                "1.10 pu",
                "2 s",
                "0.70 pu",
                "10 s",
                "0.45 pu",
                "160 ms",
                "62 Hz",
                "160 ms",
                "61.2 Hz",
                "300 s",
                "58.5 Hz",
                "300 s",
                "56.5 Hz",
                "160 ms",
                "0.917 pu",
                "1.05 pu",
                "59.5 Hz",
                "60.1 Hz",
                "300 s",
                "300 s",
                "10 %",
                "0.3 Hz",
                "20 deg",
                "2 s",
                "0.30 pu"));
    String text =
        MARK.matcher(Files.readString(BLANK))
            .replaceAll(mark -> Matcher.quoteReplacement(": \"" + values.removeFirst() + "\""));
    return Files.writeString(folder.resolve("mine.yaml"), text);
  }
}
