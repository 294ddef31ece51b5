package islet.live;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * Many sites in one process: {@code controller} with {@code --site} for each, as anybody would
 * start it, with the options of the service file but for the heap. Each site has the demo site's
 * cycle of 100 ms, a client and a journal of its own. The devices are {@link StubSite}s in another
 * process, four a site, each with telemetry once a second. What is counted comes from the
 * controller's own metrics page, processor time, memory and threads from the operating system.
 *
 * <p>Judged: every site is commanded at the end; every cycle that was due was done or counted as
 * missed; cycles without a scan are less than one in a thousand of those that were due.
 */
final class FleetTrial {

  /** Cycles without a scan of those that were due. */
  static final double MOST_MISSED = 0.001;

  private static final double SCANS_A_SECOND = 10;
  private static final String HEAP = "-Xmx256m";
  private static final Pattern METRICS = Pattern.compile("Metrics at (http://\\S+/metrics)\\.");
  private static final String COMMANDING = "islet_role{site=";

  /** What came of it. */
  record Result(
      int sites,
      double seconds,
      double upS,
      long scans,
      long missed,
      double processorShare,
      long residentMiB,
      long threads,
      List<String> findings) {

    double missedShare() {
      return (double) missed / Math.max(1, scans + missed);
    }

    String text() {
      return String.format(
          "%d sites, all commanded after %.1f s; %.0f s: %d scans, %d cycles without one (%.4f %%);"
              + " %.2f of a core, %d MiB resident (%s), %d threads",
          sites,
          upS,
          seconds,
          scans,
          missed,
          missedShare() * 100,
          processorShare,
          residentMiB,
          HEAP,
          threads);
    }
  }

  private FleetTrial() {}

  private static String id(int i) {
    return "fleet-" + i;
  }

  /** Runs so many sites, two at least, for a while after they have all come up. */
  static Result run(int count, int seconds, Path folder, String url)
      throws IOException, InterruptedException {
    List<String> findings = new ArrayList<>();
    List<String> command = new ArrayList<>(java());
    command.addAll(
        List.of(
            "-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", HEAP, "-XX:+ExitOnOutOfMemoryError"));
    command.addAll(List.of("-cp", System.getProperty("java.class.path"), "islet.app.Main"));
    command.add("controller");
    for (int i = 0; i < count; i++) {
      command.addAll(List.of("--site", TrialSite.write(folder, id(i), "5 s").toString()));
    }
    command.addAll(List.of("--broker", url, "--journal", folder.resolve("journal").toString()));
    command.addAll(List.of("--metrics", "0"));
    Path said = folder.resolve("controller.log");
    Process field = field(count, url);
    long asked = System.nanoTime();
    Process controller =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(said.toFile()).start();
    try {
      double upS = awaitCommanding(count, controller, said, asked, findings);
      Thread.sleep(2_000);
      Figures before = Figures.of(controller, said);
      Thread.sleep(seconds * 1_000L);
      Figures after = Figures.of(controller, said);
      double took = (after.atNanos - before.atNanos) * 1e-9;
      long scans = after.scans - before.scans;
      long missed = after.missed - before.missed;
      // A cycle at either end may fall on this side of the reading or on that.
      if (scans + missed < count * (SCANS_A_SECOND * took - 2)) {
        findings.add(scans + " scans and " + missed + " missed ones are not all that were due");
      }
      if (after.commanding != count) {
        findings.add(after.commanding + " of " + count + " sites are commanded at the end");
      }
      Result result =
          new Result(
              count,
              took,
              upS,
              scans,
              missed,
              (after.processorNanos - before.processorNanos) / (took * 1e9),
              status(controller, "VmRSS:") / 1024,
              status(controller, "Threads:"),
              findings);
      if (result.missedShare() >= MOST_MISSED) {
        findings.add("too many cycles went without a scan");
      }
      controller.destroy();
      if (!controller.waitFor(60, TimeUnit.SECONDS) || controller.exitValue() != 0) {
        findings.add("the controller did not end in good order within 60 s");
      }
      return result;
    } finally {
      field.destroyForcibly();
      controller.destroyForcibly();
    }
  }

  /** Sums over all sites. */
  private record Figures(
      long atNanos, long scans, long missed, int commanding, long processorNanos) {

    static Figures of(Process controller, Path said) throws IOException, InterruptedException {
      String page = metrics(said);
      return new Figures(
          System.nanoTime(),
          sum(page, "islet_scans_total{"),
          sum(page, "islet_overruns_total{"),
          commanded(page),
          controller.toHandle().info().totalCpuDuration().orElseThrow().toNanos());
    }

    private static long sum(String page, String name) {
      return page.lines()
          .filter(line -> line.startsWith(name))
          .mapToLong(line -> Long.parseLong(line.substring(line.lastIndexOf(' ') + 1)))
          .sum();
    }
  }

  private static int commanded(String page) {
    return (int)
        page.lines()
            .filter(line -> line.startsWith(COMMANDING))
            .filter(line -> line.endsWith("=\"COMMANDING\"} 1"))
            .count();
  }

  private static String metrics(Path said) throws IOException, InterruptedException {
    Matcher url = METRICS.matcher(Files.readString(said));
    if (!url.find()) {
      return "";
    }
    return HttpClient.newHttpClient()
        .send(
            HttpRequest.newBuilder(URI.create(url.group(1)))
                .timeout(Duration.ofSeconds(20))
                .build(),
            HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8))
        .body();
  }

  private static double awaitCommanding(
      int count, Process controller, Path said, long asked, List<String> findings)
      throws IOException, InterruptedException {
    long limit = System.nanoTime() + TimeUnit.SECONDS.toNanos(90);
    while (commanded(metrics(said)) != count) {
      if (System.nanoTime() > limit || !controller.isAlive()) {
        findings.add("not every site was commanded within 90 s; it said " + Files.readString(said));
        break;
      }
      Thread.sleep(250);
    }
    return (System.nanoTime() - asked) * 1e-9;
  }

  /** A number from what Linux tells of a process. */
  private static long status(Process process, String name) throws IOException {
    return Files.readAllLines(Path.of("/proc", Long.toString(process.pid()), "status")).stream()
        .filter(line -> line.startsWith(name))
        .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")))
        .findFirst()
        .orElseThrow();
  }

  private static List<String> java() {
    return List.of(Path.of(System.getProperty("java.home"), "bin", "java").toString());
  }

  private static Process field(int count, String url) throws IOException {
    List<String> command = new ArrayList<>(java());
    command.addAll(List.of("-XX:+UseSerialGC", "-Xmx128m"));
    command.addAll(List.of("-cp", System.getProperty("java.class.path")));
    command.addAll(List.of(FleetTrial.class.getName(), "field", Integer.toString(count), url));
    return new ProcessBuilder(command)
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
