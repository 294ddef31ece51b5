package islet.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import islet.bench.report.Report;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Judged by the bytes on the disk. */
class DeterminismTest {

  private static final List<String> FILES =
      List.of("verdict.json", "events.csv", "trace.csv", "report.html", "scenario.yaml");

  @TempDir
  @SuppressWarnings("NullAway.Init") // JUnit fills it
  Path folder;

  private Path rehearse(String name, long seed, String into, double wallSeconds) throws Exception {
    Rehearsal rehearsal = new Rehearsal(Rehearsals.scenario(name, seed));
    RunRecord record = rehearsal.run(micros -> {}).record("test");
    Path place = folder.resolve(into);
    RunFolder.write(place, record, new Timing(wallSeconds, rehearsal.steps()), Report::html);
    return place;
  }

  @Test
  void twoRunsOfOneSeedLeaveTheSameBytesSaveForHowLongTheyTook() throws Exception {
    Path one = rehearse("failed-return", 7, "one", 1);
    Path two = rehearse("failed-return", 7, "two", 2);
    for (String file : FILES) {
      assertArrayEquals(
          Files.readAllBytes(one.resolve(file)), Files.readAllBytes(two.resolve(file)), file);
    }
    assertFalse(
        Arrays.equals(
            Files.readAllBytes(one.resolve("timing.json")),
            Files.readAllBytes(two.resolve("timing.json"))));
    assertEquals(FILES.size() + 1, count(one));
  }

  private static long count(Path place) throws Exception {
    try (var files = Files.list(place)) {
      return files.count();
    }
  }

  /** Nothing in this scenario is random: the seed may show only where it is written down. */
  @Test
  void anotherSeedChangesNothingWhereNothingIsRandom() throws Exception {
    Path seven = rehearse("sag-separate", 7, "seven", 1);
    Path eight = rehearse("sag-separate", 8, "eight", 1);
    for (String file : List.of("events.csv", "trace.csv")) {
      assertArrayEquals(
          Files.readAllBytes(seven.resolve(file)), Files.readAllBytes(eight.resolve(file)), file);
    }
    String verdict = Files.readString(eight.resolve("verdict.json"));
    assertEquals(
        Files.readString(seven.resolve("verdict.json")),
        verdict.replaceFirst("\"seed\"(\\s*):(\\s*)8", "\"seed\"$1:$27"));
  }
}
