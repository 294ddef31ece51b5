package islet.cli;

import islet.bench.Judges;
import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Timing;
import islet.bench.VerdictJson;
import islet.bench.report.Report;
import islet.control.SupervisorMaker;
import islet.live.SurroundingsException;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Runs scenarios in virtual time. */
@Command(
    name = "rehearse",
    mixinStandardHelpOptions = true,
    description = {
      "Runs scenarios in virtual time, prints the verdict and writes the run folder.",
      "The same scenario, seed and version give the same bytes; only timing.json differs.",
      "With --guided the run stands still at each of the scenario's stops, asks a person what was"
          + " seen, in the terminal or on a page, and leaves a signed record (docs/rehearsal.md)."
    })
final class RehearseCommand implements Callable<Integer> {

  /** How a verdict is printed. */
  enum Format {
    TEXT,
    JSON
  }

  @Parameters(
      arity = "1..*",
      paramLabel = "SCENARIO",
      description = "scenario files (YAML; config/schema/scenario.schema.json describes them)")
  private List<Path> scenarios = List.of();

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description =
          "the run folder; with several scenarios the folder that gets a run folder for each"
              + " (default: runs/NAME)")
  private Path out = Path.of("");

  @Option(names = "--seed", paramLabel = "N", description = "takes the place of the file's seed")
  private String seed = "";

  @Option(
      names = "--format",
      paramLabel = "text|json",
      description = "how the verdict is printed (default: ${DEFAULT-VALUE})",
      defaultValue = "text")
  private Format format = Format.TEXT;

  @Option(
      names = "--guided",
      description =
          "waits for a person at each stop of one scenario and writes record.html and record.json")
  private boolean guided;

  @Option(
      names = "--resume",
      description = "goes on with a guided rehearsal that was broken off, at its first open stop")
  private boolean resume;

  @Option(
      names = "--page",
      paramLabel = "PORT",
      description =
          "beside --guided: asks on a page in the browser, at this port of this machine's own"
              + " address; 0 for one that is free (default: asks in the terminal)")
  private String page = "";

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws RunFolderException, IOException, SurroundingsException {
    checkGuidance();
    OptionalLong seedOverride = seedOverride();
    SupervisorMaker maker = supervisors.chosen(spec);
    List<Scenario> read = new ArrayList<>();
    List<Path> folders = new ArrayList<>();
    // Everything is read and every place is checked before the first run begins.
    for (Path file : scenarios) {
      read.add(ScenarioReader.read(file, seedOverride));
      Path folder = folder(file);
      if (guided) {
        RunFolder.checkGuided(folder, resume);
      } else {
        RunFolder.check(folder);
      }
      if (folders.contains(folder)) {
        throw new RunFolderException(
            file
                + ": found two scenarios for the run folder "
                + folder
                + "; allowed is one each. Give scenarios with different file names, or run them one"
                + " by one with --out.");
      }
      folders.add(folder);
    }
    PrintWriter print = spec.commandLine().getOut();
    if (guided) {
      return guide(read.get(0), maker, folders.get(0), print);
    }
    boolean passed = true;
    List<String> json = new ArrayList<>();
    for (int i = 0; i < read.size(); i++) {
      RunRecord record = run(read.get(i), maker, folders.get(i));
      passed &= record.result().passed();
      switch (format) {
        case TEXT -> print.print(VerdictText.of(record.result(), folders.get(i)));
        case JSON ->
            json.add(new String(VerdictJson.verdict(record.result()), StandardCharsets.UTF_8));
      }
    }
    if (format == Format.JSON) {
      print.print(json.size() == 1 ? json.get(0) : "[" + String.join(",", json) + "]\n");
    }
    return passed ? Main.PASSED : Main.FAILED;
  }

  private void checkGuidance() {
    if (resume && !guided) {
      throw refused(
          "--resume: found no --guided beside it; allowed is to go on with a guided rehearsal. Say"
              + " --guided --resume.");
    }
    if (!page.isEmpty() && !guided) {
      throw refused(
          "--page: found no --guided beside it; allowed is to guide a rehearsal on the page. Say"
              + " --guided --page, or watch a run by the wall clock with live --page.");
    }
    if (!page.isEmpty()) {
      PagePort.of(spec.commandLine(), page);
    }
    if (guided && scenarios.size() > 1) {
      throw refused(
          "--guided: found "
              + scenarios.size()
              + " scenarios; allowed is one, since one person answers. Run them one by one.");
    }
    if (guided && format == Format.JSON) {
      throw refused(
          "--format: found json beside --guided; allowed is text, which the person reads. The run"
              + " folder has verdict.json and record.json.");
    }
  }

  private ParameterException refused(String sentence) {
    return new ParameterException(spec.commandLine(), sentence);
  }

  private int guide(Scenario scenario, SupervisorMaker maker, Path folder, PrintWriter print)
      throws RunFolderException, IOException, SurroundingsException {
    if (scenario.stops().isEmpty()) {
      throw refused(
          scenarios.get(0)
              + ": found no stops; allowed with --guided is a scenario with stops:"
              + " (docs/rehearsal.md). Add one, or leave --guided out.");
    }
    if (!page.isEmpty()) {
      try (StopSignal signal = new StopSignal()) {
        int code =
            new GuidedPage(scenario, maker, folder, print, Clock.systemUTC())
                .run(PagePort.of(spec.commandLine(), page), resume, signal);
        signal.leaveWith(code);
        return code;
      }
    }
    Reader typed = new InputStreamReader(System.in, StandardCharsets.UTF_8);
    PrintWriter err = spec.commandLine().getErr();
    return new GuidedRehearsal(scenario, maker, folder, typed, print, err, Clock.systemUTC())
        .run(resume);
  }

  private OptionalLong seedOverride() {
    if (seed.isEmpty()) {
      return OptionalLong.empty();
    }
    try {
      return OptionalLong.of(Long.parseLong(seed));
    } catch (NumberFormatException e) {
      throw new picocli.CommandLine.ParameterException(
          spec.commandLine(),
          "--seed: found \"" + seed + "\"; allowed is a whole number, for example 7.");
    }
  }

  private Path folder(Path file) {
    String name = String.valueOf(file.getFileName()).replaceFirst("\\.ya?ml$", "");
    if (out.toString().isEmpty()) {
      return Path.of("runs", name);
    }
    return scenarios.size() == 1 ? out : out.resolve(name);
  }

  private RunRecord run(Scenario scenario, SupervisorMaker maker, Path folder)
      throws RunFolderException, IOException {
    Progress progress = new Progress(spec.commandLine().getErr(), scenario.durationMicros());
    long begun = System.nanoTime();
    Rehearsal rehearsal = new Rehearsal(scenario, maker);
    Judges judges = rehearsal.run(progress::at);
    double wall = (System.nanoTime() - begun) * 1e-9;
    progress.end();
    RunRecord record = judges.record(Version.text());
    RunFolder.write(folder, record, new Timing(wall, rehearsal.steps()), Report::html);
    return record;
  }
}
