package islet.cli;

import islet.bench.Judges;
import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.VerdictReader;
import islet.bench.guided.Seal;
import islet.bench.guided.Sha256;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
import islet.live.SurroundingsException;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Runs a recorded case again and says whether it came out the same, or shows it. */
@Command(
    name = "replay",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a recorded case again and says whether it came out the same, byte for byte; or, with"
          + " --page, shows it in a browser as it was.",
      "The scenario.yaml in the run's folder is run in memory, with the supervisor that the verdict"
          + " names, and every file but timing.json is compared. Nothing is written. Exit code 1 when"
          + " a file differs: another version of Islet, or a site, weather or load file that was"
          + " changed since, or a record of a guided rehearsal whose digest no longer fits. A run that was made live, by the wall clock, does not come out the same."
    })
final class ReplayCommand implements Callable<Integer> {

  private static final int SHOWN = 160;

  @Parameters(paramLabel = "RUN_FOLDER", description = "a folder that rehearse wrote")
  private Path folder = Path.of("");

  @Option(
      names = "--page",
      paramLabel = "PORT",
      description =
          "instead: serves the recording on the live page at this port of this machine's own"
              + " address, with a slider over its time, until Ctrl-C; 0 for one that is free."
              + " Nothing is run and nothing can be commanded")
  private String page = "";

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException, SurroundingsException {
    if (!page.isEmpty()) {
      if (supervisors.isAsked()) {
        throw new ParameterException(
            spec.commandLine(),
            "--page: found another option that chooses a supervisor beside it; allowed is one of"
                + " the two, since with --page nothing is run again.");
      }
      int port = PagePort.of(spec.commandLine(), page);
      return RecordingPage.serve(folder, port, spec.commandLine().getOut());
    }
    RunResult recorded = VerdictReader.read(folder);
    Scenario scenario = ScenarioReader.read(RunFolder.scenario(folder), OptionalLong.empty());
    SupervisorMaker maker =
        supervisors.isAsked() ? supervisors.chosen(spec) : supervisors.named(recorded.supervisor());
    Progress progress = new Progress(spec.commandLine().getErr(), scenario.durationMicros());
    Judges judges = new Rehearsal(scenario, maker).run(progress::at);
    progress.end();
    Map<String, byte[]> files = RunFolder.files(judges.record(Version.text()), Report::html);
    PrintWriter print = spec.commandLine().getOut();
    if (!recorded.version().equals(Version.text())) {
      print.println(
          "Recorded by Islet " + recorded.version() + ", run again by " + Version.text() + ".");
    }
    boolean same = true;
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      same &= compare(file.getKey(), file.getValue(), print);
    }
    same &= record(print, files);
    print.println(
        same
            ? "SAME  " + scenario.title() + ": it came out byte for byte as it was recorded."
            : "DIFFERS  " + scenario.title() + ": see above what differs first in each file.");
    return same ? Main.PASSED : Main.FAILED;
  }

  /** What the record of a guided rehearsal says of itself, where there is one. */
  private boolean record(PrintWriter print, Map<String, byte[]> files) throws IOException {
    Path json = folder.resolve(RunFolder.RECORD_JSON);
    Path page = folder.resolve(RunFolder.RECORD_PAGE);
    if (!Files.isRegularFile(json)) {
      if (!Files.isRegularFile(page)) {
        return true;
      }
      print.println("  changed  record.html: there is no record.json beside it any more");
      return false;
    }
    byte[] bytes = Files.readAllBytes(json);
    String digest = Seal.digest(bytes);
    boolean sealed =
        switch (Seal.of(bytes)) {
          case SEALED -> {
            print.println("  sealed   record.json (" + digest + ")");
            yield true;
          }
          case CHANGED -> {
            print.println(
                "  changed  record.json: its content no longer has the digest at its foot");
            yield false;
          }
          case MISSING -> {
            print.println("  changed  record.json: no digest stands at its foot");
            yield false;
          }
        };
    String paper = Files.isRegularFile(page) ? Files.readString(page) : "";
    if (sealed && !paper.contains("SHA-256 " + digest)) {
      print.println("  changed  record.html: the digest of record.json does not stand in it");
      return false;
    }
    String content = new String(bytes, StandardCharsets.UTF_8);
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      if (sealed && !content.contains("\"" + Sha256.of(file.getValue()) + "\"")) {
        print.println("  changed  record.json: it was made with another " + file.getKey());
        return false;
      }
    }
    return sealed;
  }

  private boolean compare(String name, byte[] now, PrintWriter print) throws IOException {
    Path file = folder.resolve(name);
    if (!Files.isRegularFile(file)) {
      print.println("  missing  " + name);
      return false;
    }
    byte[] then = Files.readAllBytes(file);
    int at = Arrays.mismatch(then, now);
    if (at < 0) {
      print.println("  same     " + name + " (" + now.length + " bytes)");
      return true;
    }
    print.println("  differs  " + name + " from line " + line(now, at) + " on");
    print.println("             recorded: " + shown(then, at));
    print.println("             now:      " + shown(now, at));
    return false;
  }

  private static int line(byte[] text, int at) {
    int line = 1;
    for (int i = 0; i < Math.min(at, text.length); i++) {
      line += text[i] == '\n' ? 1 : 0;
    }
    return line;
  }

  /**
   * The line that holds a place, as far as it can be shown; the end of the file for what is past
   * it.
   */
  private static String shown(byte[] text, int at) {
    if (at >= text.length) {
      return "(the file ends here)";
    }
    int from = at;
    while (from > 0 && text[from - 1] != '\n' && at - from < SHOWN / 2) {
      from--;
    }
    int to = at;
    while (to < text.length && text[to] != '\n' && to - from < SHOWN) {
      to++;
    }
    return new String(text, from, to - from, StandardCharsets.UTF_8);
  }
}
