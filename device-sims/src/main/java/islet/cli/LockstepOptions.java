package islet.cli;

import islet.bench.Judges;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Timing;
import islet.bench.VerdictJson;
import islet.bench.report.Report;
import islet.live.EmbeddedBroker;
import islet.live.LockstepRun;
import islet.live.SiteOrScenario;
import islet.live.SurroundingsException;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.OptionalLong;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** What {@code devices --lockstep} may be told, and how it is done. */
final class LockstepOptions {

  /** Registered for MQTT without TLS: OASIS MQTT Version 5.0, 4.2, from memory. */
  private static final int USUAL_PORT = 1883;

  private static final Duration PROBE = Duration.ofSeconds(5);
  private static final double LONGEST_S = 86_400;

  private enum Format {
    TEXT,
    JSON
  }

  @Option(
      names = "--lockstep",
      description =
          "simulated time stands still until the controller under test says that it has scanned; ends"
              + " with the scenario, judges, and writes a run folder (docs/own-controller.md)")
  private boolean lockstep;

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "with --lockstep: the run folder (default: runs/NAME-lockstep)")
  private Path out = Path.of("");

  @Option(
      names = "--seed",
      paramLabel = "N",
      description = "with --lockstep: takes the place of the file's seed")
  private String seed = "";

  @Option(
      names = "--format",
      paramLabel = "text|json",
      description = "with --lockstep: how the verdict is printed (default: text)")
  private Optional<Format> format = Optional.empty();

  @Option(
      names = "--patience",
      paramLabel = "S",
      description =
          "with --lockstep: how long the controller may take for one scan, in seconds on the wall"
              + " (default: 30); after that it counts as crashed")
  private String patience = "";

  @Option(
      names = "--wait",
      paramLabel = "S",
      description =
          "with --lockstep: how long to wait for a controller at the start, in seconds on the wall"
              + " (default: 60)")
  private String longestWait = "";

  /** Whether simulated time shall wait for the controller. */
  boolean asked() {
    return lockstep;
  }

  /**
   * Refuses what only makes sense in lockstep.
   *
   * @throws ParameterException with a sentence
   */
  void refuseAlone(CommandSpec spec) {
    refuseAlone(spec, "--out", out.toString());
    refuseAlone(spec, "--seed", seed);
    refuseAlone(spec, "--format", format.map(Format::name).orElse(""));
    refuseAlone(spec, "--patience", patience);
    refuseAlone(spec, "--wait", longestWait);
  }

  private static void refuseAlone(CommandSpec spec, String option, String found) {
    if (!found.isEmpty()) {
      throw refused(spec, option, found, "nothing without --lockstep, which judges and writes");
    }
  }

  private static ParameterException refused(
      CommandSpec spec, String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found \"" + found + "\"; allowed is " + allowed + ".");
  }

  /**
   * Plays a scenario in lockstep.
   *
   * @param broker the address of a broker that runs already; empty for one in this process
   * @param access who the bench says it is there
   * @return the exit code
   */
  int play(CommandSpec spec, Path file, String broker, Access access)
      throws RunFolderException, IOException, SurroundingsException, BrokerUnreachableException {
    Duration scanLimit = seconds(spec, "--patience", patience, 30);
    Duration waitLimit = seconds(spec, "--wait", longestWait, 60);
    OptionalLong ownSeed = seedOverride(spec);
    if (SiteOrScenario.isAlone(SiteOrScenario.read(file))) {
      throw refused(
          spec,
          "--site",
          file.toString(),
          "a scenario with --lockstep, for example config/scenarios/evening-outage.yaml; a site alone"
              + " begins now and has no end");
    }
    Scenario scenario = ScenarioReader.read(file, ownSeed);
    Path folder = folder(file);
    RunFolder.check(folder);
    try (StopSignal signal = new StopSignal()) {
      int code;
      if (broker.isEmpty()) {
        try (EmbeddedBroker embedded =
            EmbeddedBroker.isFree(USUAL_PORT)
                ? EmbeddedBroker.start(USUAL_PORT)
                : EmbeddedBroker.start()) {
          code =
              play(
                  spec,
                  scenario,
                  folder,
                  embedded.url(),
                  Access.NONE,
                  scanLimit,
                  waitLimit,
                  signal);
        }
      } else {
        PahoBroker.probe(broker, access, PROBE);
        code = play(spec, scenario, folder, broker, access, scanLimit, waitLimit, signal);
      }
      signal.leaveWith(code);
      return code;
    }
  }

  private int play(
      CommandSpec spec,
      Scenario scenario,
      Path folder,
      String url,
      Access access,
      Duration scanLimit,
      Duration waitLimit,
      StopSignal signal)
      throws SurroundingsException, RunFolderException, IOException {
    PrintWriter print = spec.commandLine().getOut();
    PrintWriter aside = spec.commandLine().getErr();
    RunRecord record;
    long steps;
    double wall;
    try (PahoBroker real = new PahoBroker(url, PahoSettings.USUAL.with(access));
        LockstepRun run = new LockstepRun(scenario, real, scanLimit)) {
      signal.stops(run::stop);
      aside.println("Waiting at " + url + " for a controller of " + scenario.site().id() + ".");
      aside.flush();
      Optional<String> name = run.awaitController(waitLimit);
      if (name.isEmpty()) {
        aside.println("Stopped before a controller came; nothing was written.");
        return Main.BAD_SURROUNDINGS;
      }
      aside.println(name.get() + " is there; the run begins.");
      aside.flush();
      Progress progress = new Progress(aside, scenario.durationMicros());
      long begun = System.nanoTime();
      Judges judges = run.run(progress::at);
      wall = (System.nanoTime() - begun) * 1e-9;
      progress.end();
      if (!run.failure().isEmpty()) {
        aside.println("The controller's scans ended before the run did: " + run.failure() + ".");
      }
      if (!run.unreadable().isEmpty()) {
        aside.println(run.unreadable());
      }
      record = judges.record(Version.text());
      steps = run.steps();
    }
    RunFolder.write(folder, record, new Timing(wall, steps), Report::html);
    switch (format.orElse(Format.TEXT)) {
      case TEXT -> print.print(VerdictText.of(record.result(), folder));
      case JSON ->
          print.print(new String(VerdictJson.verdict(record.result()), StandardCharsets.UTF_8));
    }
    print.flush();
    return record.result().passed() ? Main.PASSED : Main.FAILED;
  }

  private static Duration seconds(CommandSpec spec, String option, String text, double usual) {
    double value = usual;
    if (!text.isEmpty()) {
      try {
        value = Double.parseDouble(text);
      } catch (NumberFormatException e) {
        value = Double.NaN;
      }
    }
    if (value > 0 && value <= LONGEST_S) {
      return Duration.ofNanos(Math.round(value * 1e9));
    }
    throw refused(spec, option, text, "a number of seconds above 0 and at most 86400, such as 30");
  }

  private OptionalLong seedOverride(CommandSpec spec) {
    if (seed.isEmpty()) {
      return OptionalLong.empty();
    }
    try {
      return OptionalLong.of(Long.parseLong(seed));
    } catch (NumberFormatException e) {
      throw refused(spec, "--seed", seed, "a whole number, for example 7");
    }
  }

  private Path folder(Path file) {
    String name = String.valueOf(file.getFileName()).replaceFirst("\\.ya?ml$", "");
    return out.toString().isEmpty() ? Path.of("runs", name + "-lockstep") : out;
  }
}
