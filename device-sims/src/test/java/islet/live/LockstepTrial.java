package islet.live;

import islet.bench.Rehearsal;
import islet.bench.RunFolder;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.Timing;
import islet.bench.report.Report;
import islet.control.SiteSupervisor;
import islet.executive.wall.LockstepCycle;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;

/**
 * Plays scenarios twice: as a rehearsal, and in lockstep over a real broker with the same logic at
 * its other end. Judged by the run folders, which must be the same byte for byte.
 */
final class LockstepTrial {

  private static final Duration SOON = Duration.ofSeconds(20);

  private static final List<String> FILES =
      List.of("verdict.json", "events.csv", "trace.csv", "scenario.yaml", "report.html");

  private LockstepTrial() {}

  /** Plays a scenario in lockstep with Islet's own logic. */
  static RunRecord inStep(Scenario scenario, EmbeddedBroker broker) throws Exception {
    try (PahoBroker there = new PahoBroker(broker.url(), PahoSettings.USUAL);
        PahoBroker here = new PahoBroker(broker.url(), PahoSettings.USUAL);
        LockstepRun run = new LockstepRun(scenario, here, SOON)) {
      LockstepCycle cycle = new LockstepCycle(scenario.site(), SiteSupervisor::new, "islet", there);
      Thread controller = new Thread(() -> scan(cycle), "controller");
      controller.start();
      if (run.awaitController(SOON).isEmpty()) {
        throw new IllegalStateException("stopped");
      }
      RunRecord record = run.run(micros -> {}).record("test");
      if (!run.failure().isEmpty()) {
        throw new IllegalStateException(run.failure());
      }
      controller.join();
      cycle.close();
      return record;
    }
  }

  private static void scan(LockstepCycle cycle) {
    try {
      cycle.run();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** The files that differ between a rehearsal of a scenario and a run in lockstep. */
  static List<String> differences(Scenario scenario, EmbeddedBroker broker, Path disk)
      throws Exception {
    Path one = disk.resolve("rehearsed");
    Path other = disk.resolve("in-step");
    RunRecord rehearsed = new Rehearsal(scenario).run(micros -> {}).record("test");
    RunFolder.write(one, rehearsed, new Timing(1, 1), Report::html);
    RunFolder.write(other, inStep(scenario, broker), new Timing(1, 1), Report::html);
    List<String> differ = new ArrayList<>();
    for (String file : FILES) {
      if (Files.mismatch(one.resolve(file), other.resolve(file)) >= 0) {
        differ.add(file);
      }
    }
    return differ;
  }

  /** Plays the scenario files that are named, and says what differs. */
  public static void main(String[] files) throws Exception {
    boolean same = true;
    try (EmbeddedBroker broker = EmbeddedBroker.start()) {
      for (String file : files) {
        Scenario scenario = ScenarioReader.read(Path.of(file), OptionalLong.empty());
        Path disk = Files.createTempDirectory("islet-lockstep-");
        List<String> differ = differences(scenario, broker, disk);
        same &= differ.isEmpty();
        System.out.println(
            file + ": " + (differ.isEmpty() ? "the same" : "differ, in " + disk + ": " + differ));
      }
    }
    System.exit(same ? 0 : 1);
  }
}
