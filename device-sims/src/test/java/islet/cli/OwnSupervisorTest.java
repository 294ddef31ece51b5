package islet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.LongTest;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.ToolProvider;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A supervisor from outside, built with the JDK's compiler as its writer would. Judged by the exit
 * codes that are promised, by the run folder, and by the hazards, which know nothing of who thinks.
 */
class OwnSupervisorTest {

  private static final Path ROOT = Path.of(System.getProperty("islet.root"));
  private static final Path EXAMPLE = ROOT.resolve("docs/examples/tie-follower");
  private static final Path EVENING = ROOT.resolve("config/scenarios/evening-outage.yaml");
  private static final String SERVICES = "META-INF/services/islet.control.SupervisorMaker";

  private final Path disk;
  private StringWriter err = new StringWriter();
  private StringWriter out = new StringWriter();

  OwnSupervisorTest(@TempDir Path disk) {
    this.disk = disk;
  }

  private int islet(Object... args) {
    out = new StringWriter();
    err = new StringWriter();
    String[] words = Stream.of(args).map(Object::toString).toArray(String[]::new);
    return Main.run(words, new PrintWriter(out), new PrintWriter(err));
  }

  private static void compile(Path into, List<Path> sources) throws IOException {
    Files.createDirectories(into);
    List<String> args = new ArrayList<>();
    args.addAll(List.of("--release", "17", "-Xlint:all", "-Werror", "-cp"));
    args.add(ROOT.resolve("controller/target/classes").toString());
    args.addAll(List.of("-d", into.toString()));
    sources.forEach(source -> args.add(source.toString()));
    int code =
        ToolProvider.getSystemJavaCompiler().run(null, null, null, args.toArray(new String[0]));
    assertEquals(0, code, "the compiler's messages stand above");
  }

  private Path exampleJar() throws IOException {
    Path classes = disk.resolve("classes");
    compile(
        classes,
        List.of(
            EXAMPLE.resolve("landing/TieFollower.java"),
            EXAMPLE.resolve("landing/TieFollowerMaker.java")));
    Path jar = disk.resolve("tie-follower.jar");
    try (JarOutputStream to = new JarOutputStream(Files.newOutputStream(jar));
        Stream<Path> all = Files.walk(classes)) {
      for (Path file : all.filter(Files::isRegularFile).sorted().toList()) {
        put(to, classes.relativize(file).toString().replace('\\', '/'), Files.readAllBytes(file));
      }
      put(to, SERVICES, Files.readAllBytes(EXAMPLE.resolve(SERVICES)));
    }
    return jar;
  }

  private static void put(JarOutputStream to, String name, byte[] bytes) throws IOException {
    to.putNextEntry(new JarEntry(name));
    to.write(bytes);
    to.closeEntry();
  }

  /** A folder that offers a supervisor whose body is given. */
  private Path folder(String name, String body) throws IOException {
    Path source = disk.resolve(name + "-source/own/Maker.java");
    Files.createDirectories(source.getParent());
    Files.writeString(
        source,
        """
        package own;
        public final class Maker implements islet.control.SupervisorMaker {
          @Override public String name() { return "own"; }
          @Override public islet.control.Supervisor make(islet.site.Site site) {
            %s
          }
        }
        """
            .formatted(body));
    Path classes = disk.resolve(name);
    compile(classes, List.of(source));
    Files.createDirectories(classes.resolve(SERVICES).getParent());
    Files.writeString(classes.resolve(SERVICES), "own.Maker\n");
    return classes;
  }

  private static JsonNode verdict(Path run) throws IOException {
    return new ObjectMapper().readTree(Files.readAllBytes(run.resolve("verdict.json")));
  }

  @Test
  @LongTest
  void theExampleCarriesThePanelThroughTheEveningOutageAndTheVerdictNamesIt() throws IOException {
    Path jar = exampleJar();
    Path run = disk.resolve("run");
    int code =
        islet("rehearse", EVENING, "--supervisor", "tie-follower", "--plug", jar, "--out", run);
    assertEquals(0, code, out + err.toString());
    JsonNode verdict = verdict(run);
    assertEquals("tie-follower", verdict.get("supervisor").asText());
    assertTrue(out.toString().contains("supervisor tie-follower"), out.toString());
    assertTrue(Files.readString(run.resolve("report.html")).contains("supervisor tie-follower"));
    // The outage of the file: at two hours, for three.
    boolean islanded = false;
    for (JsonNode change : verdict.get("transitions")) {
      double at = change.get("atSeconds").asDouble();
      islanded |= change.get("to").asText().equals("ISLANDED") && at >= 7200 && at <= 7201;
    }
    assertTrue(islanded, verdict.get("transitions").toString());

    Path again = disk.resolve("again");
    islet("rehearse", EVENING, "--supervisor", "tie-follower", "--plug", jar, "--out", again);
    for (String file : List.of("verdict.json", "events.csv", "trace.csv")) {
      assertArrayEquals(
          Files.readAllBytes(run.resolve(file)), Files.readAllBytes(again.resolve(file)), file);
    }
  }

  @Test
  @LongTest
  void aSupervisorThatThrowsInAScanFailsTheRunWhichGoesOnToItsEnd() throws IOException {
    Path own =
        folder(
            "throws",
            """
            long[] scans = new long[1];
            return (in, now, out) -> {
              out.begin();
              if (++scans[0] > 600) { throw new IllegalStateException("out of ideas"); }
            };
            """);
    Path run = disk.resolve("run");
    int code = islet("rehearse", EVENING, "--supervisor", "own", "--plug", own, "--out", run);
    assertEquals(1, code, err.toString());
    JsonNode verdict = verdict(run);
    assertEquals("fail", verdict.get("verdict").asText());
    assertEquals(9 * 3600, verdict.get("simulatedSeconds").asDouble(), 1e-9);
    JsonNode first = verdict.get("expectations").get(0);
    assertEquals("the supervisor scans to the end", first.get("text").asText());
    // The site's scan is 100 ms, so the 601st is due a tenth of a second after a minute.
    assertEquals(60.1, first.get("at").asDouble(), 1e-6);
    assertTrue(
        verdict.get("cautions").get(0).asText().contains("out of ideas"), verdict.toString());
    assertTrue(Files.readString(run.resolve("events.csv")).contains("out of ideas"));
  }

  @Test
  @LongTest
  void ordersThatCannotBeSentCountAsACrash() throws IOException {
    Path own = folder("sends", "return (in, now, out) -> { out.begin(); out.shedCount = 1000; };");
    Path run = disk.resolve("run");
    assertEquals(1, islet("rehearse", EVENING, "--supervisor", "own", "--plug", own, "--out", run));
    assertTrue(verdict(run).get("cautions").get(0).asText().contains("shedCount at 1000"));
  }

  private void refused(String sentence, Object... args) {
    List<Object> words = new ArrayList<>(List.of("rehearse", EVENING));
    words.addAll(List.of("--out", disk.resolve("run")));
    words.addAll(List.of(args));
    assertEquals(2, islet(words.toArray()), err.toString());
    assertTrue(err.toString().contains(sentence), err.toString());
    assertFalse(Files.exists(disk.resolve("run")));
  }

  @Test
  void whatCannotBeUsedIsRefusedBeforeTheRunInASentence() throws IOException {
    refused("found no such supervisor; allowed is islet.", "--supervisor", "clever");
    Path fake = Files.writeString(disk.resolve("fake.jar"), "not a jar");
    refused("can't be read as a jar", "--supervisor", "own", "--plug", fake);
    refused("no such file", "--supervisor", "own", "--plug", disk.resolve("gone.jar"));
    Path own = folder("fails", "throw new IllegalStateException(\"no\");");
    refused("found no --supervisor beside it; allowed is islet, own", "--plug", own);
    refused("a maker that fails for the site", "--supervisor", "own", "--plug", own);
    Files.writeString(own.resolve(SERVICES), "own.Nobody\n");
    refused("a maker that can't be loaded", "--supervisor", "own", "--plug", own);
  }
}
