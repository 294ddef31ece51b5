package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Wrong input and a machine that does not give what is needed: one sentence that names it, the exit
 * code that the commands promise, and a disk that looks as before. Judged by the disk itself and by
 * sockets that the test holds.
 */
@Execution(ExecutionMode.CONCURRENT)
@Timeout(60)
@Tag("apart")
class BadSurroundingsTest {

  private static final Path CONFIG = Path.of(System.getProperty("islet.root"), "config");
  private static final Path SITE = CONFIG.resolve("sites/ferry-landing.yaml");

  private final Path disk;
  private Map<Path, String> before = new TreeMap<>();
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  /** With a site and a scenario of our own, to be spoilt. */
  BadSurroundingsTest(@TempDir Path disk) throws IOException {
    this.disk = disk;
    Files.writeString(
        disk.resolve("site.yaml"),
        Files.readString(SITE).replace("../", CONFIG.toString().replace('\\', '/') + "/"));
    Files.writeString(
        disk.resolve("case.yaml"),
        """
        title: A minute
        site: site.yaml
        start: 2026-01-14T15:00
        duration: PT1M
        weather: { constant: { ghi: 0 W/m2, temperature: 5 degC } }
        battery: { soc: 0.85 }
        """);
  }

  @AfterEach
  void theDiskIsAsItWas() throws IOException {
    assertEquals(before, contents());
  }

  private Map<Path, String> contents() throws IOException {
    Map<Path, String> found = new TreeMap<>();
    try (Stream<Path> all = Files.walk(disk)) {
      for (Path path : all.toList()) {
        found.put(
            path,
            Files.isDirectory(path)
                ? "folder"
                : new String(Files.readAllBytes(path), StandardCharsets.ISO_8859_1));
      }
    }
    return found;
  }

  private int islet(String... args) throws IOException {
    before = contents();
    return Main.run(args, new PrintWriter(out), new PrintWriter(err));
  }

  private void says(String... parts) {
    for (String part : parts) {
      assertTrue(err.toString().contains(part), part + " is not in: " + err);
    }
    assertTrue(!err.toString().contains("\tat "), "a stack trace is no sentence: " + err);
    assertEquals("", out.toString());
  }

  private String path(String name) {
    return disk.resolve(name).toString();
  }

  private void spoil(String file, String from, String to) throws IOException {
    String text = Files.readString(disk.resolve(file));
    assertTrue(text.contains(from), from);
    Files.writeString(disk.resolve(file), text.replace(from, to));
  }

  @Test
  void anUnspoiltScenarioRuns() throws IOException {
    assertEquals(0, islet("rehearse", path("case.yaml"), "--out", path("run")), err.toString());
    assertTrue(Files.exists(disk.resolve("run/verdict.json")));
    before = contents();
  }

  @Test
  void aBrokerThatNobodyRunsIsToldAndIsTheSurroundingsFault() throws IOException {
    int free;
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      free = socket.getLocalPort();
    }
    String url = "tcp://127.0.0.1:" + free;
    assertEquals(3, islet("live", path("case.yaml"), "--broker", url, "--out", path("run")));
    says("No MQTT 5 broker answers at " + url, "name another with --broker");
  }

  @Test
  @LongTest
  void aServerThatIsNoBrokerIsToldInTime() throws IOException {
    try (ServerSocket mute = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
      String url = "tcp://127.0.0.1:" + mute.getLocalPort();
      assertEquals(3, islet("live", path("case.yaml"), "--broker", url, "--out", path("run")));
      says("No MQTT 5 broker answers at " + url);
    }
  }

  @Test
  void aPortThatIsTakenIsToldAndIsTheSurroundingsFault() throws IOException {
    try (ServerSocket taken =
        new ServerSocket(0, 1, InetAddress.getByAddress(new byte[] {127, 0, 0, 1}))) {
      String port = String.valueOf(taken.getLocalPort());
      assertEquals(3, islet("live", path("case.yaml"), "--port", port, "--out", path("run")));
      says("TCP port " + port + " on 127.0.0.1 is taken", "choose another port");
    }
  }

  @ParameterizedTest
  @CsvSource({
    "--speed, 0",
    "--speed, -1",
    "--speed, NaN",
    "--speed, Infinity",
    "--speed, 1000001",
    "--speed, fast",
    "--port, 0",
    "--port, 65536",
    "--port, mqtt",
    "--broker, localhost",
    "--broker, http://127.0.0.1:1883",
    "--broker, tcp://127.0.0.1:70000"
  })
  void aWrongOptionOfLiveNamesItselfAndWhatIsAllowed(String option, String value)
      throws IOException {
    assertEquals(2, islet("live", path("case.yaml"), option, value, "--out", path("run")));
    says(option + ": found \"" + value + "\"; allowed is ");
  }

  @Test
  void aPortBesideAnOutsideBrokerIsRefused() throws IOException {
    assertEquals(
        2, islet("live", path("case.yaml"), "--broker", "tcp://127.0.0.1:1", "--port", "1883"));
    says("--port: found \"1883\"; allowed is nothing beside --broker");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void anUnknownOptionIsWrongInput(String command) throws IOException {
    assertEquals(2, islet(command, path("case.yaml"), "--sped", "60"));
    says("Unknown option", "--sped");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void aFileThatIsMissingIsNamed(String command) throws IOException {
    assertEquals(2, islet(command, path("cases.yaml"), "--out", path("run")));
    says("cases.yaml: found no such file; allowed is a YAML file that exists");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void textThatIsNoYamlIsToldWithItsLine(String command) throws IOException {
    spoil("case.yaml", "battery: { soc: 0.85 }", "battery: { soc: 0.85");
    assertEquals(2, islet(command, path("case.yaml"), "--out", path("run")));
    says("case.yaml:", "found text that is not YAML");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void aWrongUnitIsToldWithFileLineAndField(String command) throws IOException {
    spoil("site.yaml", "capacity: 400 Ah", "capacity: 400 kW");
    assertEquals(2, islet(command, path("case.yaml"), "--out", path("run")));
    says("site.yaml:", "battery.capacity: found \"400 kW\"; allowed is ");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void aMisspeltFieldIsToldWithWhatWasMeant(String command) throws IOException {
    spoil("case.yaml", "duration:", "duraton:");
    assertEquals(2, islet(command, path("case.yaml"), "--out", path("run")));
    says("case.yaml:4: duraton: found an unknown field", "Did you mean \"duration\"?");
  }

  @Test
  void aFileThatIsNeitherSiteNorScenarioIsTold() throws IOException {
    String profile = CONFIG.resolve("profiles/ieee1547-2018-category-iii.yaml").toString();
    assertEquals(2, islet("live", profile));
    says("category-iii.yaml: found neither a site nor a scenario");
  }

  @Test
  @LongTest
  void aScenarioThatCutsALinkIsNotForALiveRun() throws IOException {
    Files.writeString(
        disk.resolve("case.yaml"),
        Files.readString(disk.resolve("case.yaml"))
            + "events:\n  - { at: PT10S, fault: { kind: device-link-lost, device: tie } }\n");
    assertEquals(2, islet("live", path("case.yaml"), "--out", path("run")));
    says("found a fault that cuts or disturbs a link", "Use rehearse");
  }

  @Test
  void aScenarioThatStopsTheSupervisorIsNotForDevicesAlone() throws IOException {
    Files.writeString(
        disk.resolve("case.yaml"),
        Files.readString(disk.resolve("case.yaml"))
            + "events:\n  - { at: PT10S, fault: { kind: supervisor-pause }, for: PT5S }\n");
    assertEquals(2, islet("devices", "--site", path("case.yaml"), "--broker", "tcp://127.0.0.1:1"));
    says("found a fault of the supervisor", "Use rehearse");
  }

  @ParameterizedTest
  @CsvSource({"live", "rehearse"})
  void aFolderThatIsNotOursIsLeftAlone(String command) throws IOException {
    Files.createDirectory(disk.resolve("photos"));
    Files.writeString(disk.resolve("photos/landing.txt"), "not a run");
    assertEquals(2, islet(command, path("case.yaml"), "--out", path("photos")));
    says("photos: found something that is not a run folder", "Choose another folder with --out");
  }

  @Test
  void twoScenariosOfOneNameAreRefusedBeforeAnyRuns() throws IOException {
    Files.createDirectory(disk.resolve("other"));
    Files.writeString(
        disk.resolve("other/case.yaml"),
        Files.readString(disk.resolve("case.yaml")).replace("site.yaml", "../site.yaml"));
    assertEquals(
        2, islet("rehearse", path("case.yaml"), path("other/case.yaml"), "--out", path("runs")));
    says("found two scenarios for the run folder", "allowed is one each");
  }

  /** Where no folder can be made: below a file. */
  @Test
  void aDiskThatTakesNoFolderIsTheSurroundingsFault() throws IOException {
    List<String> args =
        List.of("rehearse", path("case.yaml"), "--out", path("site.yaml") + "/below/run");
    assertEquals(3, islet(args.toArray(String[]::new)));
    says("The machine did not let a file be written or read", "site.yaml");
  }
}
