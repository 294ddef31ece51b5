package islet.live;

import islet.bench.DeviceStage;
import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.bench.VirtualBroker;
import islet.bench.VirtualTime;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Mode;
import islet.contract.Port;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.device.SimulatedDevice;
import islet.executive.Executive;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * Bad payloads on every topic, to controller and devices, while the utility goes and comes back.
 *
 * <p>Judged: nothing is thrown past a port; each bad message is counted by whom it concerns,
 * exactly once in virtual time; the mode follows the utility all the same; no hazard of the plant;
 * and the memory in use after a collection at the last tenth is what it was at the first.
 */
final class MalformedTrial {

  /**
   * What a run may have more in memory at its end than at its first tenth, MiB: two for the program
   * and 0.02 for each second of the site, whose trace and events the bench keeps. A million
   * messages that each left a reference behind would be 4 MiB and more.
   */
  private static final double MOST_MIB = 2;

  private static final double TRACE_MIB_PER_SECOND = 0.02;

  private static final long STEP_MICROS = 20_000;

  /** What came of it. */
  record Result(
      long sent,
      long counted,
      long expected,
      double firstMiB,
      double lastMiB,
      List<String> findings) {}

  private MalformedTrial() {}

  /**
   * All on one thread in virtual time, as fast as it goes: {@code each} messages in 20 ms.
   *
   * @param alone whether nothing else runs in this process, so that its memory can be judged
   */
  static Result virtual(long seed, Path folder, long messages, int each, boolean alone)
      throws IOException {
    List<String> findings = new ArrayList<>();
    Scenario scenario = SiteOrScenario.alone(TrialSite.write(folder, "ferry-landing", "5 s"));
    VirtualTime time = new VirtualTime(scenario.startMicros());
    VirtualBroker broker = new VirtualBroker(time);
    DeviceStage stage = new DeviceStage(scenario, time, broker);
    broker.tap(stage.wire());
    Executive executive =
        new Executive(
            scenario.site(),
            new SiteSupervisor(scenario.site()),
            broker,
            time::now,
            SiteSimulation.clientId(scenario.site(), Device.SUPERVISOR));
    Port hostile = broker.connect("hostile", NO_WILL, new Ignorant());
    stage.start();
    long scanMicros = Math.round(scenario.site().supervision().scanS() * 1e6);
    VirtualTime.Timer[] scan = new VirtualTime.Timer[1];
    scan[0] =
        time.timer(
            VirtualTime.CONTROLLER,
            () -> {
              scan[0].arm(time.now() + scanMicros);
              executive.scan();
            });
    scan[0].arm(time.now() + scanMicros);
    time.runUntil(time.now() + 5_000_000);
    Topics topics = new Topics(scenario.site().id());
    BadPayloads payloads = new BadPayloads(new Random(seed), topics);
    long expected = 0;
    double first = 0;
    double hertz = scenario.site().utility().nominalHz();
    for (long i = 0; i < messages; i++) {
      BadPayloads.Bad bad = payloads.next();
      expected += bad.byController() + devicesThatRead(stage, topics, bad.topic());
      hostile.publish(Message.of(bad.topic(), bad.payload(), 0, false));
      if (i % each == each - 1) {
        time.runUntil(time.now() + STEP_MICROS);
      }
      if (i == messages / 10) {
        first = usedMiB();
      }
      if (i == messages * 3 / 10 || i == messages * 6 / 10) {
        boolean back = i > messages / 2;
        insist(executive, back ? Mode.ISLANDED : Mode.GRID_PRESENT, findings);
        time.at(
            time.now(),
            VirtualTime.UTILITY,
            () -> stage.simulation().utility(back, back ? 1 : 0, hertz));
      }
    }
    time.runUntil(time.now() + 15_000_000);
    double last = usedMiB();
    insist(executive, Mode.GRID_PRESENT, findings);
    long counted =
        executive.badMessages()
            + stage.simulation().devices().all().stream()
                .mapToLong(SimulatedDevice::rejected)
                .sum();
    if (counted != expected) {
      findings.add(counted + " bad messages were counted, " + expected + " were sent");
    }
    if (alone) {
      memory((time.now() - scenario.startMicros()) * 1e-6, first, last, findings);
    }
    stage.finish(time.now());
    hazards(stage.judges().record("trial").result(), findings);
    return new Result(messages, counted, expected, first, last, findings);
  }

  private static void insist(Executive executive, Mode mode, List<String> findings) {
    if (executive.outputs().mode != mode) {
      findings.add("the mode is " + executive.outputs().mode + ", not " + mode);
    }
  }

  private static long devicesThatRead(DeviceStage stage, Topics topics, String topic) {
    boolean heartbeat = topic.equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY));
    return stage.simulation().devices().all().stream()
        .filter(device -> heartbeat || topic.equals(topics.of(device.device(), Kind.COMMAND)))
        .count();
  }

  private static void memory(double seconds, double first, double last, List<String> findings) {
    double most = MOST_MIB + seconds * TRACE_MIB_PER_SECOND;
    if (last - first > most) {
      findings.add(
          String.format(
              "memory grew from %.1f MiB to %.1f MiB in %.0f s of the site, allowed are %.1f MiB",
              first, last, seconds, most));
    }
  }

  private static void hazards(RunResult result, List<String> findings) {
    for (RunResult.HazardVerdict hazard : result.hazards()) {
      if (hazard.verdict() == Outcome.FAIL) {
        findings.add(hazard.id() + ": " + hazard.detail());
      }
    }
  }

  private static double usedMiB() {
    Runtime runtime = Runtime.getRuntime();
    System.gc();
    System.gc();
    return (runtime.totalMemory() - runtime.freeMemory()) / 1048576.0;
  }

  /**
   * Over a real broker, by the wall clock.
   *
   * @param seconds how long
   * @param perSecond bad messages in a second, as well as the machine can
   */
  static Result overBroker(long seed, Path folder, String url, int seconds, int perSecond)
      throws Exception {
    List<String> findings = new ArrayList<>();
    Path siteFile = TrialSite.write(folder, "ferry-landing", "5 s");
    Scenario scenario = SiteOrScenario.alone(siteFile);
    Topics topics = new Topics(scenario.site().id());
    BadPayloads payloads = new BadPayloads(new Random(seed), topics);
    double hertz = scenario.site().utility().nominalHz();
    List<RunResult> results = new CopyOnWriteArrayList<>();
    long sent = 0;
    long counted;
    long expected = 0;
    double first = 0;
    double last;
    try (DevicesRun devices = new DevicesRun(scenario, url, row -> {});
        TrialController controller = new TrialController(siteFile, folder.resolve("journal"), url);
        PahoBroker clients = new PahoBroker(url, PahoSettings.USUAL)) {
      Thread site = new Thread(() -> results.add(devices.run().record("trial").result()), "site");
      site.start();
      Port hostile = clients.connect("hostile", NO_WILL, new Ignorant());
      Thread.sleep(6_000);
      for (int second = 0; second < seconds; second++) {
        long due = System.nanoTime() + 1_000_000_000L;
        for (int i = 0; i < perSecond; i++) {
          BadPayloads.Bad bad = payloads.next();
          hostile.publish(Message.of(bad.topic(), bad.payload(), 0, false));
          expected += bad.byController() + devicesThatRead(devices, topics, bad.topic());
          sent++;
          if (i % 20 == 19) {
            Thread.sleep(Math.max(1, 20_000 / perSecond));
          }
        }
        Thread.sleep(Math.max(0, (due - System.nanoTime()) / 1_000_000));
        if (second == seconds / 10) {
          first = usedMiB();
        }
        if (second == seconds * 3 / 10 || second == seconds * 6 / 10) {
          boolean back = second > seconds / 2;
          insist(controller.duty().executive(), back ? Mode.ISLANDED : Mode.GRID_PRESENT, findings);
          devices.hand(() -> devices.simulation().utility(back, back ? 1 : 0, hertz));
        }
      }
      last = usedMiB();
      Thread.sleep(15_000);
      insist(controller.duty().executive(), Mode.GRID_PRESENT, findings);
      if (!controller.failure().isEmpty()) {
        findings.add("the controller failed: " + controller.failure());
      }
      counted =
          controller.duty().executive().badMessages()
              + devices.simulation().devices().all().stream()
                  .mapToLong(SimulatedDevice::rejected)
                  .sum();
      System.out.println(
          "dropped before they were read: "
              + controller.drops()
              + ", behind the scan "
              + controller.cycle().dropped()
              + ", by the devices' driver "
              + devices.lag().dropped());
      devices.stop();
      site.join();
    }
    memory(seconds, first, last, findings);
    results.forEach(result -> hazards(result, findings));
    if (results.isEmpty()) {
      findings.add("the site's run ended without a result");
    }
    return new Result(sent, counted, expected, first, last, findings);
  }

  private static long devicesThatRead(DevicesRun devices, Topics topics, String topic) {
    boolean heartbeat = topic.equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY));
    return devices.simulation().devices().all().stream()
        .filter(device -> heartbeat || topic.equals(topics.of(device.device(), Kind.COMMAND)))
        .count();
  }

  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  /** Hears nothing. */
  private static final class Ignorant implements Port.Listener {
    @Override
    public void message(Message message) {}

    @Override
    public void link(boolean up) {}
  }

  /** A long trial: seed, messages in virtual time, seconds over a broker, messages in a second. */
  public static void main(String[] args) throws Exception {
    long seed = args.length > 0 ? Long.parseLong(args[0]) : 1;
    long messages = args.length > 1 ? Long.parseLong(args[1]) : 1_000_000;
    int seconds = args.length > 2 ? Integer.parseInt(args[2]) : 300;
    int perSecond = args.length > 3 ? Integer.parseInt(args[3]) : 1_000;
    Path folder = Files.createTempDirectory("islet-malformed-");
    boolean good = true;
    if (messages > 0) {
      long begun = System.nanoTime();
      Result result = virtual(seed, folder, messages, 100, true);
      System.out.printf("%.1f s: %s%n", (System.nanoTime() - begun) * 1e-9, result);
      good = result.findings().isEmpty();
    }
    if (seconds > 0) {
      try (Mosquitto broker = new Mosquitto(folder.resolve("mosquitto"), false)) {
        Result result = overBroker(seed, folder, broker.url(), seconds, perSecond);
        System.out.println(result);
        good &= result.findings().isEmpty();
      }
    }
    System.exit(good ? 0 : 1);
  }
}
