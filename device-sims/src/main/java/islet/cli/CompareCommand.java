package islet.cli;

import islet.bench.Judges;
import islet.bench.Rehearsal;
import islet.bench.RunFolderException;
import islet.bench.RunResult;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.VerdictReader;
import islet.bench.compare.Column;
import islet.bench.compare.CompareJson;
import islet.bench.compare.CompareText;
import islet.bench.compare.Comparison;
import islet.bench.plug.Supervisors;
import islet.bench.report.ComparePage;
import islet.bench.report.CurvePage;
import islet.bench.reserve.CurveJson;
import islet.bench.reserve.CurveText;
import islet.bench.reserve.ReserveCurve;
import islet.control.SupervisorMaker;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Setting;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Supplier;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Puts runs, scenarios or settings side by side. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    description = {
      "Puts two or more runs side by side: energy, cost, losses, transfers, alarms, hazards.",
      "A run is a folder that rehearse or live wrote; a scenario is run now, in memory. With --vary"
          + " one scenario is run once for each value of a setting; with --reserves it is asked how"
          + " long the emergency panel would have lived without the utility.",
      "Differences are counted from the first. Exit code 1 when any of them failed its verdict; the"
          + " comparison is printed all the same."
    })
final class CompareCommand implements Callable<Integer> {

  /** How the comparison is printed. */
  enum Format {
    TEXT,
    HTML,
    JSON
  }

  /** What becomes a column: read and checked, and not yet run. */
  private record Entry(String label, String path, String source, Supplier<RunResult> result) {}

  private static final String SET = "--set";
  private static final String VARY = "--vary";

  @Parameters(
      arity = "1..*",
      paramLabel = "RUN_OR_SCENARIO",
      description = "run folders and scenario files")
  private List<Path> things = List.of();

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "a folder for comparison.html, comparison.json and comparison.txt")
  private Path out = Path.of("");

  @Option(
      names = "--format",
      paramLabel = "text|html|json",
      description = "how it is printed (default: ${DEFAULT-VALUE})",
      defaultValue = "text")
  private Format format = Format.TEXT;

  @Option(
      names = SET,
      paramLabel = "KEY=VALUE",
      description =
          "a setting of the site for every scenario that is run, such as"
              + " supervision.onSag=ride-through; may be given several times")
  private List<String> sets = List.of();

  @Option(
      names = VARY,
      paramLabel = "KEY=VALUE,VALUE,...",
      description =
          "one column for each value of a setting, such as supervision.reserve=30%%,50%%,70%%;"
              + " with one scenario")
  private String vary = "";

  @Option(
      names = ReserveOptions.RESERVES,
      paramLabel = "SHARE,SHARE,...",
      description =
          "the bill of one scenario's span against the hours of outage survived, for each of these"
              + " reserves, such as 20%%,30%%,50%%,70%%,90%%; an outage is begun at every full hour")
  private String reserves = "";

  @Mixin private final ReserveOptions reserveOptions = new ReserveOptions();

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  private int runs;
  private int run;
  private SupervisorMaker maker = Supervisors.OWN;

  @Override
  public Integer call() throws RunFolderException, IOException {
    maker = supervisors.chosen(spec);
    if (!reserves.isEmpty()) {
      return curve();
    }
    reserveOptions.refuseAlone(spec.commandLine());
    // Everything is read and the place is checked before the first run begins.
    List<Entry> entries = vary.isEmpty() ? entries() : variants();
    if (entries.size() < 2) {
      throw new ParameterException(
          spec.commandLine(),
          "compare: found one thing, "
              + things.get(0)
              + "; allowed are two or more runs or scenarios, or one scenario with --vary, for"
              + " example --vary supervision.reserve=30%,50%.");
    }
    if (!out.toString().isEmpty()) {
      CompareFolder.check(out);
    }
    List<Column> columns = new ArrayList<>();
    boolean alone = distinct(entries);
    for (Entry entry : entries) {
      String label = alone ? entry.label() : entry.path();
      columns.add(new Column(label, entry.source(), entry.result().get()));
    }
    Comparison comparison = Comparison.of(columns, Version.text());
    if (!out.toString().isEmpty()) {
      CompareFolder.write(out, comparison);
    }
    PrintWriter print = spec.commandLine().getOut();
    switch (format) {
      case TEXT -> {
        print.print(CompareText.of(comparison));
        if (!out.toString().isEmpty()) {
          print.println("Page: " + CompareFolder.page(out));
        }
      }
      case HTML -> print.print(ComparePage.html(comparison));
      case JSON -> print.print(CompareJson.of(comparison));
    }
    return comparison.passed() ? Main.PASSED : Main.FAILED;
  }

  private int curve() throws RunFolderException, IOException {
    if (!vary.isEmpty() || maker != Supervisors.OWN) {
      throw new ParameterException(
          spec.commandLine(),
          ReserveOptions.RESERVES
              + ": found it beside "
              + (vary.isEmpty() ? "--supervisor" : VARY)
              + "; allowed is one of them, with Islet's own supervisor.");
    }
    List<ReserveOptions.Case> cases =
        reserveOptions.cases(reserves, things, settings(), spec.commandLine());
    if (!out.toString().isEmpty()) {
      CompareFolder.check(out);
    }
    ReserveCurve curve = reserveOptions.work(cases, spec.commandLine());
    if (!out.toString().isEmpty()) {
      CurveFolder.write(out, curve);
    }
    PrintWriter print = spec.commandLine().getOut();
    switch (format) {
      case TEXT -> {
        print.print(CurveText.of(curve));
        if (!out.toString().isEmpty()) {
          print.println("Page: " + CompareFolder.page(out));
        }
      }
      case HTML -> print.print(CurvePage.html(curve));
      case JSON -> print.print(CurveJson.of(curve));
    }
    return curve.passed() ? Main.PASSED : Main.FAILED;
  }

  private static boolean distinct(List<Entry> entries) {
    return entries.stream().map(Entry::label).distinct().count() == entries.size();
  }

  private List<Entry> entries() {
    List<Setting> settings = settings();
    List<Problem> problems = new ArrayList<>();
    List<Entry> entries = new ArrayList<>();
    Set<Path> seen = new LinkedHashSet<>();
    for (Path thing : things) {
      if (!seen.add(thing.toAbsolutePath().normalize())) {
        throw new ParameterException(
            spec.commandLine(),
            "compare: found " + thing + " twice; allowed is each run or scenario once.");
      }
      try {
        entries.add(Files.isDirectory(thing) ? folder(thing, settings) : scenario(thing, settings));
      } catch (InputException e) {
        problems.addAll(e.problems());
      }
    }
    if (!problems.isEmpty()) {
      throw new InputException(problems);
    }
    return entries;
  }

  private Entry folder(Path folder, List<Setting> settings) {
    RunResult result = VerdictReader.read(folder);
    if (!settings.isEmpty()) {
      throw new InputException(
          List.of(
              new Problem(
                  SET,
                  0,
                  settings.get(0).path(),
                  "a run folder, " + InputFile.shown(folder) + ", beside it",
                  "scenarios only",
                  "A run is over and takes no settings; name the scenario.yaml in its folder to run"
                      + " it anew.")));
    }
    String name = String.valueOf(folder.toAbsolutePath().normalize().getFileName());
    String shown = InputFile.shown(folder);
    return new Entry(name, shown, "run folder " + shown, () -> result);
  }

  private Entry scenario(Path file, List<Setting> settings) {
    Scenario scenario = ScenarioReader.read(file, OptionalLong.empty(), settings);
    runs++;
    String shown = InputFile.shown(file);
    String by = maker == Supervisors.OWN ? "" : " by " + maker.name();
    String with = with(settings) + by;
    return new Entry(name(file), shown, "scenario " + shown + with, () -> rehearse(scenario));
  }

  private static String name(Path file) {
    return String.valueOf(file.getFileName()).replaceFirst("\\.ya?ml$", "");
  }

  private static String with(List<Setting> settings) {
    StringBuilder with = new StringBuilder();
    for (Setting setting : settings) {
      with.append(with.length() == 0 ? " with " : ", ");
      with.append(setting.path()).append('=').append(setting.value());
    }
    return with.toString();
  }

  private List<Entry> variants() {
    VarySetting asked = VarySetting.parse(vary);
    List<String> values = asked.values();
    boolean legal =
        asked.complete()
            && values.size() > 1
            && values.stream().noneMatch(String::isEmpty)
            && values.stream().distinct().count() == values.size();
    if (!legal) {
      throw new ParameterException(
          spec.commandLine(),
          VARY
              + ": found \""
              + vary
              + "\"; allowed is a setting with two or more different values, for example"
              + " supervision.reserve=30%,50%,70%.");
    }
    if (things.size() != 1 || Files.isDirectory(things.get(0))) {
      throw new ParameterException(
          spec.commandLine(),
          VARY
              + ": found "
              + (things.size() == 1 ? "the run folder " + things.get(0) : things.size() + " things")
              + " to vary; allowed is one scenario file.");
    }
    List<Entry> entries = new ArrayList<>();
    for (String value : values) {
      List<Setting> settings = new ArrayList<>(settings());
      settings.removeIf(setting -> setting.path().equals(asked.path()));
      settings.add(new VarySetting(asked.path(), value).setting(VARY));
      Entry entry = scenario(things.get(0), settings);
      entries.add(new Entry(value, asked.path() + "=" + value, entry.source(), entry.result()));
    }
    return entries;
  }

  private List<Setting> settings() {
    return VarySetting.all(sets, SET, spec.commandLine());
  }

  private RunResult rehearse(Scenario scenario) {
    run++;
    String which = runs > 1 ? "run " + run + " of " + runs + ", " : "";
    Progress progress = new Progress(spec.commandLine().getErr(), scenario.durationMicros(), which);
    Judges judges = new Rehearsal(scenario, maker).run(progress::at);
    progress.end();
    return judges.record(Version.text()).result();
  }
}
