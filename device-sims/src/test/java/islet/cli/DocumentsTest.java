package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The documents judged by the code, the files and the readers that they speak of. */
class DocumentsTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Pattern LINK = Pattern.compile("\\]\\(([^)#]+)(?:#[^)]*)?\\)");
  private static final Pattern ENTRY = Pattern.compile("(?m)^- \\{ .*$");

  private record Said(int code, String out, String err) {}

  private static Said islet(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code = Main.run(args, new PrintWriter(out), new PrintWriter(err));
    return new Said(code, out.toString(), err.toString());
  }

  private static Said check(Path docs) {
    return islet("document", "--check", "--out", docs.toString(), "--config", ROOT + "/config");
  }

  @Test
  @LongTest
  void everyGeneratedPartIsWhatTheCodeMakesNow() {
    Said said = check(ROOT.resolve("docs"));
    assertEquals(0, said.code(), said.out() + said.err());
  }

  /** All but the lessons, whose runs take longest. */
  @Test
  @LongTest
  void aChangedFigureAndALostPictureAreNamedAndMendedByTheCommand(@TempDir Path folder)
      throws IOException {
    Path docs = folder.resolve("docs");
    Files.createDirectories(docs);
    for (String name :
        List.of(
            "modes.md",
            "mqtt.md",
            "hazards.md",
            "defects.md",
            "faults.md",
            "scenarios.md",
            "validation.md",
            "compare.md",
            "check.md")) {
      Files.copy(ROOT.resolve("docs").resolve(name), docs.resolve(name));
    }
    Files.copy(ROOT.resolve("README.md"), folder.resolve("README.md"));
    Path modes = docs.resolve("modes.md");
    String right = Files.readString(modes);
    Files.writeString(modes, right.replace("| 2 | `LISTEN`", "| 2 | `CARRY`"));

    Said said = check(docs);
    assertEquals(1, said.code());
    assertEquals(
        List.of(modes + ": differs from what the code makes now. Run: ./islet document"),
        said.out().lines().filter(line -> line.contains(".md:")).toList());
    assertTrue(said.out().contains("modes.svg: differs"), said.out());

    islet("document", "--out", docs.toString(), "--config", ROOT + "/config");
    assertEquals(right, Files.readString(modes));
    assertTrue(Files.isRegularFile(docs.resolve("pictures").resolve("modes.svg")));
  }

  @Test
  void aFolderWithoutDocumentsIsRefusedWithASentence(@TempDir Path folder) {
    Said said = check(folder);
    assertEquals(2, said.code());
    assertTrue(said.err().contains("modes.md: found no such document"), said.err());
  }

  @Test
  void everyLinkLeadsToAFile() throws IOException {
    for (Path document : documents()) {
      Matcher link = LINK.matcher(Files.readString(document));
      while (link.find()) {
        Path target = document.resolveSibling(link.group(1));
        assertTrue(Files.exists(target), document + " links to " + link.group(1));
      }
    }
  }

  @Test
  void everyScenarioThatShipsIsNamedInTheReadmeOrAmongTheLessons() throws IOException {
    String readme =
        Files.readString(ROOT.resolve("README.md"))
            + Files.readString(ROOT.resolve("docs/lessons/README.md")).replace("(../../", "(");
    try (Stream<Path> files = Files.list(ROOT.resolve("config/scenarios"))) {
      for (Path file : files.sorted().toList()) {
        String path = "config/scenarios/" + file.getFileName();
        assertTrue(readme.contains("(" + path + ")"), path + " is named nowhere");
      }
    }
  }

  /** The examples of docs/scenarios.md, judged by the reader of scenarios. */
  @Test
  void everyExampleEventAndExpectationIsRead(@TempDir Path folder) throws IOException {
    List<String> events = new ArrayList<>();
    List<String> expectations = new ArrayList<>();
    Matcher entry = ENTRY.matcher(Files.readString(ROOT.resolve("docs/scenarios.md")));
    while (entry.find()) {
      (entry.group().startsWith("- { at:") ? events : expectations).add(entry.group());
    }
    assertTrue(events.size() >= 18 && expectations.size() >= 8, "the document lost its examples");
    List<String> byHand = events.stream().filter(e -> e.contains("switch:")).toList();
    events.removeAll(byHand);

    Scenario read = examples(folder, "ferry-landing", events, expectations);
    assertEquals(events.size(), read.events().size());
    assertEquals(expectations.size(), read.expect().size());
    assertEquals(
        byHand.size(), examples(folder, "boat-shed", byHand, expectations).events().size());
  }

  private static Scenario examples(
      Path folder, String site, List<String> events, List<String> expectations) throws IOException {
    Path file = folder.resolve("examples-" + site + ".yaml");
    Files.writeString(
        file,
        "title: examples\nsite: "
            + ROOT.resolve("config/sites/" + site + ".yaml")
            + "\nstart: 2026-01-14T15:00\nduration: PT9H\n"
            + "weather: { constant: { ghi: 800 W/m2, temperature: 15 degC } }\n"
            + "battery: { soc: 0.85 }\nevents:\n"
            + String.join("\n", events)
            + "\nexpect:\n"
            + String.join("\n", expectations)
            + "\n");
    return ScenarioReader.read(file, OptionalLong.empty());
  }

  private static List<Path> documents() throws IOException {
    List<Path> documents = new ArrayList<>();
    documents.add(ROOT.resolve("README.md"));
    documents.add(ROOT.resolve("DEVELOPERS.md"));
    try (Stream<Path> files = Files.walk(ROOT.resolve("docs"))) {
      files.filter(f -> f.toString().endsWith(".md")).sorted().forEach(documents::add);
    }
    return documents;
  }
}
