package islet.cli;

import islet.bench.Judges;
import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.VerdictReader;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
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
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Runs a recorded case again and says whether it came out the same. */
@Command(
    name = "replay",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a recorded case again and says whether it came out the same, byte for byte.",
      "The scenario.yaml in the run's folder is run in memory, with the supervisor that the verdict"
          + " names, and every file but timing.json is compared. Nothing is written. Exit code 1 when"
          + " a file differs: another version of Islet, or a site, weather or load file that was"
          + " changed since. A run that was made live, by the wall clock, does not come out the same."
    })
final class ReplayCommand implements Callable<Integer> {

  private static final int SHOWN = 160;

  @Parameters(paramLabel = "RUN_FOLDER", description = "a folder that rehearse wrote")
  private Path folder = Path.of("");

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException {
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
    print.println(
        same
            ? "SAME  " + scenario.title() + ": it came out byte for byte as it was recorded."
            : "DIFFERS  " + scenario.title() + ": see above what differs first in each file.");
    return same ? Main.PASSED : Main.FAILED;
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
