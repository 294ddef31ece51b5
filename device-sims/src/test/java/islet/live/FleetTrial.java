package islet.live;

import islet.executive.Duty;
import islet.executive.wall.Thinker;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * Many sites in one process: for each a controller as it ships, with a duty, a cycle of the demo
 * site's 100 ms, a client and a journal folder of its own, over one broker. The devices are {@link
 * StubSite}s in a process of their own, four a site, each with telemetry once a second.
 *
 * <p>Judged: every controller commands at the end; every cycle that was due was done or counted as
 * missed; cycles without a scan are less than one in a thousand of those that were due.
 */
final class FleetTrial {

  /** Cycles without a scan of those that were due. */
  static final double MOST_MISSED = 0.001;

  private static final double SCANS_A_SECOND = 10;

  /** What came of it. */
  record Result(
      int sites,
      double seconds,
      long scans,
      long missed,
      double processorShare,
      double heapMiB,
      int threads,
      List<String> findings) {

    double missedShare() {
      return (double) missed / Math.max(1, scans + missed);
    }

    String text() {
      return String.format(
          "%d sites, %.0f s: %d scans, %d cycles without one (%.4f %%); %.2f of a core, %.0f MiB of"
              + " heap in use, %d threads",
          sites, seconds, scans, missed, missedShare() * 100, processorShare, heapMiB, threads);
    }
  }

  private FleetTrial() {}

  private static String id(int i) {
    return "fleet-" + i;
  }

  /** Runs so many sites for a while, after they have all come up. */
  static Result run(int count, int seconds, Path folder, String url)
      throws IOException, InterruptedException {
    List<String> findings = new ArrayList<>();
    List<TrialController> controllers = new ArrayList<>();
    Process field = field(count, url);
    Executor thinker = Thinker.beside();
    try {
      for (int i = 0; i < count; i++) {
        Path site = TrialSite.write(folder, id(i), "5 s");
        Path journal = folder.resolve("journal").resolve(id(i));
        controllers.add(new TrialController(site, journal, url, thinker));
        // As after a start of the machine, but not all within one millisecond.
        Thread.sleep(20);
      }
      awaitCommanding(controllers, findings);
      Thread.sleep(2_000);
      long scansBefore = scans(controllers);
      long missedBefore = missed(controllers);
      long processorBefore = processorNanos();
      long begun = System.nanoTime();
      Thread.sleep(seconds * 1_000L);
      double took = (System.nanoTime() - begun) * 1e-9;
      double share = (processorNanos() - processorBefore) * 1e-9 / took;
      long scans = scans(controllers) - scansBefore;
      long missed = missed(controllers) - missedBefore;
      int threads = ManagementFactory.getThreadMXBean().getThreadCount();
      if (scans + missed < SCANS_A_SECOND * count * took * 0.98) {
        findings.add(scans + " scans and " + missed + " missed ones are not all that were due");
      }
      for (TrialController controller : controllers) {
        if (controller.duty().role() != Duty.Role.COMMANDING || !controller.failure().isEmpty()) {
          findings.add("a controller is " + controller.duty().role() + controller.failure());
        }
      }
      Result result = new Result(count, took, scans, missed, share, heapMiB(), threads, findings);
      if (result.missedShare() >= MOST_MISSED) {
        findings.add("too many cycles went without a scan");
      }
      return result;
    } finally {
      field.destroyForcibly();
      controllers.parallelStream().forEach(TrialController::close);
    }
  }

  private static void awaitCommanding(List<TrialController> controllers, List<String> findings)
      throws InterruptedException {
    long limit = System.nanoTime() + TimeUnit.SECONDS.toNanos(90);
    while (!controllers.stream().allMatch(c -> c.duty().role() == Duty.Role.COMMANDING)) {
      if (System.nanoTime() > limit) {
        findings.add("not every controller has taken command within 90 s");
        return;
      }
      Thread.sleep(100);
    }
  }

  private static long scans(List<TrialController> controllers) {
    return controllers.stream().mapToLong(TrialController::scans).sum();
  }

  private static long missed(List<TrialController> controllers) {
    return controllers.stream().mapToLong(c -> c.cycle().overruns()).sum();
  }

  private static long processorNanos() {
    return ProcessHandle.current().info().totalCpuDuration().orElseThrow().toNanos();
  }

  private static double heapMiB() {
    Runtime runtime = Runtime.getRuntime();
    System.gc();
    return (runtime.totalMemory() - runtime.freeMemory()) / 1048576.0;
  }

  private static Process field(int count, String url) throws IOException {
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:+UseSerialGC",
            "-Xmx128m",
            "-cp",
            System.getProperty("java.class.path"),
            FleetTrial.class.getName(),
            "field",
            Integer.toString(count),
            url)
        .redirectErrorStream(true)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start();
  }

  /** The devices of all sites, ten sites a client. */
  private static void beField(int count, String url) throws MqttException, InterruptedException {
    List<StubSite> sites = new ArrayList<>();
    Map<String, StubSite> byId = new ConcurrentHashMap<>();
    for (int from = 0; from < count; from += 10) {
      BareClient client =
          new BareClient(
              url,
              "field-" + from,
              (topic, message) -> {
                StubSite site = byId.get(topic.split("/", -1)[2]);
                if (site != null) {
                  site.arrived(topic, message.getPayload());
                }
              });
      List<StubSite> own = new ArrayList<>();
      for (int i = from; i < Math.min(count, from + 10); i++) {
        StubSite site = new StubSite(id(i), client);
        byId.put(id(i), site);
        own.add(site);
      }
      for (int i = from; i < Math.min(count, from + 10); i++) {
        client.subscribe("islet/v1/" + id(i) + "/+/command", 1);
        client.subscribe("islet/v1/" + id(i) + "/supervisor/telemetry", 0);
      }
      own.forEach(StubSite::begin);
      sites.addAll(own);
    }
    long due = System.nanoTime();
    while (true) {
      for (StubSite site : sites) {
        site.beat();
        due += 1_000_000_000L / count;
        long wait = due - System.nanoTime();
        if (wait > 0) {
          TimeUnit.NANOSECONDS.sleep(wait);
        }
      }
    }
  }

  /** A long trial: seconds at each size, then the sizes. */
  public static void main(String[] args) throws Exception {
    if (args.length > 2 && args[0].equals("field")) {
      beField(Integer.parseInt(args[1]), args[2]);
      return;
    }
    int seconds = args.length > 0 ? Integer.parseInt(args[0]) : 60;
    List<String> sizes =
        args.length > 1 ? Arrays.asList(args).subList(1, args.length) : List.of("10", "50", "200");
    boolean good = true;
    for (String size : sizes) {
      Path folder = Files.createTempDirectory("islet-fleet-");
      try (Mosquitto broker = new Mosquitto(folder.resolve("mosquitto"), false)) {
        Result result = run(Integer.parseInt(size), seconds, folder, broker.url());
        System.out.println(result.text());
        result.findings().forEach(System.out::println);
        good &= result.findings().isEmpty();
      }
    }
    System.exit(good ? 0 : 1);
  }
}
