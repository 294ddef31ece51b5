package islet.live.page;

import islet.bench.Judges;
import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.ScenarioReader;
import islet.bench.Timing;
import islet.bench.report.Report;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;

/** A run folder for tests, made by a rehearsal, and its tables as anybody reads them. */
final class RecordedRun {

  private static final List<RecordedRun> MADE = new ArrayList<>();

  private final Path folder;
  private final List<String> names;
  private final List<String[]> rows;

  /** A folder of tests for the recording of a scenario. */
  static Path folder(String name) {
    return PageRun.ROOT.resolve("device-sims/target/recorded").resolve(name);
  }

  /** The evening with an outage, rehearsed once for all tests of a process. */
  static RecordedRun evening() throws IOException, RunFolderException {
    Path folder = folder("evening-outage");
    synchronized (MADE) {
      if (MADE.isEmpty()) {
        MADE.add(new RecordedRun("config/scenarios/evening-outage.yaml", folder));
      }
      return MADE.get(0);
    }
  }

  /** Rehearses a scenario, named from the repository's root, into a folder. */
  RecordedRun(String scenario, Path folder) throws IOException, RunFolderException {
    this.folder = folder;
    Judges judges =
        new Rehearsal(ScenarioReader.read(PageRun.ROOT.resolve(scenario), OptionalLong.empty()))
            .run(micros -> {});
    RunFolder.write(folder, judges.record("test"), new Timing(1, 1), Report::html);
    List<String> lines = Files.readAllLines(folder.resolve("trace.csv"));
    names = List.of(lines.get(0).split(",", -1));
    rows = lines.stream().skip(1).map(line -> line.split(",", -1)).toList();
  }

  Path folder() {
    return folder;
  }

  List<String> names() {
    return names;
  }

  List<String[]> rows() {
    return rows;
  }

  /** The newest row at an instant, s since the start: what was so then. */
  Map<String, String> at(double seconds) {
    String[] newest = rows.get(0);
    for (String[] row : rows) {
      if (Double.parseDouble(row[0]) <= seconds) {
        newest = row;
      }
    }
    Map<String, String> told = new HashMap<>();
    for (int i = 0; i < names.size(); i++) {
      told.put(names.get(i), newest[i]);
    }
    return told;
  }

  /** The lines of {@code events.csv} behind its first. */
  List<String> events() throws IOException {
    List<String> lines = Files.readAllLines(folder.resolve("events.csv"));
    return lines.subList(1, lines.size());
  }
}
