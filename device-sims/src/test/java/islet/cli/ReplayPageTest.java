package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What {@code replay --page} refuses, judged by the exit codes and sentences that are promised to
 * its users: 2 for wrong input, 3 for wrong surroundings.
 */
class ReplayPageTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");

  private static Path run;

  @BeforeAll
  static void record(@TempDir Path disk) throws IOException {
    run = disk.resolve("run");
    Path scenario = disk.resolve("minute.yaml");
    Files.writeString(
        scenario,
        "title: A minute\n"
            + "site: "
            + CONFIG.resolve("sites/ferry-landing.yaml")
            + "\n"
            + """
            start: 2026-01-14T15:00
            duration: PT1M
            weather: { constant: { ghi: 0 W/m2, temperature: 5 degC } }
            battery: { soc: 0.85 }
            """);
    told(0, "rehearse", scenario, "--out", run);
  }

  private static Path copy(Path folder) throws IOException {
    for (String file : List.of("verdict.json", "scenario.yaml", "events.csv", "trace.csv")) {
      Files.copy(run.resolve(file), folder.resolve(file));
    }
    return folder;
  }

  private static String told(int code, Object... words) {
    StringWriter err = new StringWriter();
    String[] args = new String[words.length];
    for (int i = 0; i < words.length; i++) {
      args[i] = words[i].toString();
    }
    PrintWriter out = new PrintWriter(new StringWriter());
    assertEquals(code, Main.run(args, out, new PrintWriter(err)), err.toString());
    return err.toString();
  }

  private static void has(String part, String said) {
    assertTrue(said.contains(part), said);
  }

  @Test
  void aFolderThatIsNoRunsOrHasLostATableIsRefusedWithASentence(@TempDir Path disk)
      throws Exception {
    has(
        "found no such file; allowed is a run folder",
        told(2, "replay", disk.resolve("nowhere"), "--page", "0"));
    Path torn = copy(disk);
    Files.delete(torn.resolve("trace.csv"));
    has("trace.csv: found no such file", told(2, "replay", torn, "--page", "0"));
  }

  @Test
  void aTableThatSomebodyEditedIsRefusedWithLineAndColumn(@TempDir Path disk) throws Exception {
    Path edited = copy(disk);
    Path trace = edited.resolve("trace.csv");
    List<String> lines = new ArrayList<>(Files.readAllLines(trace));
    List<String> sound = List.copyOf(lines);
    lines.set(3, lines.get(3).replace("true", "perhaps"));
    Files.write(trace, lines);
    has(
        "trace.csv:4: utility.live: found \"perhaps\"; allowed is one of false, true",
        told(2, "replay", edited, "--page", "0"));

    lines.set(3, "soon" + sound.get(3));
    Files.write(trace, lines);
    has("trace.csv:4: time_s: found \"soon", told(2, "replay", edited, "--page", "0"));

    Files.write(trace, List.of(sound.get(0)));
    has("trace.csv: found no row", told(2, "replay", edited, "--page", "0"));
  }

  @Test
  void aPortThatIsNoneIsRefusedAndOneThatIsTakenIsToldAsWrongSurroundings() throws Exception {
    has("0 to 65535", told(2, "replay", run, "--page", "many"));
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      int port = taken.getLocalPort();
      has("cannot be served on 127.0.0.1:" + port, told(3, "replay", run, "--page", port));
    }
  }
}
