package islet.live;

import islet.bench.Scenario;
import islet.contract.Decimal;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.Topics;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.BufferedReader;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The controller's one jar as it would run at a site, a process of its own beside devices in this
 * one over a real broker, with 64 MB of heap and the optimal day plan. Measures how long a start
 * takes, what it costs, and how much of the heap a run needs.
 *
 * <p>A start is counted from the instant at which the process is asked for: to the line that it
 * prints after its first scan, and to the first telemetry of the supervisor that a client at the
 * broker hears. The latter waits half a second for another supervisor, and for the tie, which
 * speaks once a second. Processor time is the operating system's count for the process.
 *
 * <p>The need is what the JVM's own log says is left of the heap after each full collection. What
 * is left after a young one says little: the planner's tables are large and wait for a full one.
 */
final class FieldTrial implements AutoCloseable {

  /** The heap that a site's small computer is asked to spare, MB. */
  static final int HEAP_MB = 64;

  /** As the service file of config/field starts it. */
  static final List<String> OPTIONS =
      List.of("-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-Xmx" + HEAP_MB + "m");

  private static final long GIVE_UP_S = 60;
  private static final long REPLAN_MILLIS = 20_000;
  private static final Pattern FULL =
      Pattern.compile("Pause Full .* \\d+M->(\\d+)M\\(\\d+M\\) ([0-9.]+)ms");

  private static final Pattern LOADED = Pattern.compile("java\\.cls\\.loadedClasses=(\\d+)");
  private static final Pattern METRICS = Pattern.compile("Metrics at (http://\\S+/metrics)\\.");

  /**
   * One start.
   *
   * @param scanS from exec to the first scan, s
   * @param telemetryS from exec to the first telemetry on the wire, s
   * @param processorS processor time until the first scan, s
   */
  record Start(double scanS, double telemetryS, double processorS) {}

  /**
   * A run's need.
   *
   * @param start how it started
   * @param collections how many full ones the JVM logged, the last of them asked for at the end
   * @param mostMb what was left of the heap after the worst of them, MB
   * @param endMb what was left after the last, MB
   * @param longestMs the longest of them, ms
   * @param classes how many classes it had loaded at the end
   * @param metrics the page of metrics at the end
   */
  record Need(
      Start start,
      int collections,
      int mostMb,
      int endMb,
      double longestMs,
      int classes,
      String metrics) {

    /** A sample of the metrics. */
    double sample(String name) {
      return metrics
          .lines()
          .filter(line -> line.startsWith(name + " "))
          .mapToDouble(line -> Double.parseDouble(line.substring(name.length() + 1)))
          .findFirst()
          .orElseThrow(() -> new IllegalStateException("the metrics have no " + name));
    }
  }

  private final Path jar;
  private final Path folder;
  private final Path siteFile;
  private final Topics topics;
  private final EmbeddedBroker broker;
  private final DevicesRun devices;
  private final PahoBroker clients;
  private final Port operator;
  private volatile long told;
  private long orders;

  FieldTrial(Path folder) throws IOException, SurroundingsException {
    this.folder = folder;
    jar = jar();
    siteFile = planningSite(folder);
    Scenario scenario = SiteOrScenario.alone(siteFile);
    topics = new Topics(scenario.site().id());
    broker = EmbeddedBroker.start();
    devices = new DevicesRun(scenario, broker.url(), row -> {});
    Thread site = new Thread(devices::run, "site");
    site.setDaemon(true);
    site.start();
    clients = new PahoBroker(broker.url(), PahoSettings.USUAL);
    operator =
        clients.connect(
            "operator-trial",
            Message.of("", new byte[0], 0, false),
            new Port.Listener() {
              @Override
              public void message(Message message) {
                if (told == 0) {
                  told = System.nanoTime();
                }
              }

              @Override
              public void link(boolean up) {}
            });
    operator.subscribe(topics.of(Device.SUPERVISOR, Kind.TELEMETRY), 0);
  }

  /** Where the build puts what ships. */
  static Path jar() {
    return Path.of(System.getProperty("islet.root"), "controller/target/islet-controller.jar");
  }

  /** The demo site, planning its days. */
  private static Path planningSite(Path folder) throws IOException {
    Path config = Path.of(System.getProperty("islet.root"), "config").toAbsolutePath();
    for (String part : List.of("profiles", "loads", "tariffs")) {
      Files.createSymbolicLink(folder.resolve(part), config.resolve(part));
    }
    String text = Files.readString(config.resolve("sites/ferry-landing.yaml"));
    String planning =
        text.replace("plan: windows", "plan: optimal").replace("trade: none", "trade: export");
    if (planning.equals(text)) {
      throw new IllegalStateException("the site's plan is not where it was");
    }
    Path site = Files.createDirectories(folder.resolve("sites")).resolve("ferry-landing.yaml");
    return Files.writeString(site, planning);
  }

  /** The controller's process. */
  private final class Life implements AutoCloseable {
    private final long begun = System.nanoTime();
    private final Process process;
    private final List<String> lines = new ArrayList<>();
    private volatile double scanS;
    private volatile double processorS;

    Life(List<String> options) throws IOException {
      told = 0;
      List<String> command = new ArrayList<>();
      command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
      command.addAll(OPTIONS);
      command.addAll(options);
      command.addAll(
          List.of("-jar", jar.toString(), "controller", "--site", siteFile.toString(), "--broker"));
      command.addAll(List.of(broker.url(), "--journal", folder.resolve("journal").toString()));
      command.addAll(List.of("--metrics", "0"));
      process =
          new ProcessBuilder(command)
              .redirectError(
                  ProcessBuilder.Redirect.appendTo(folder.resolve("controller.log").toFile()))
              .start();
      Thread reader = new Thread(this::read, "reader");
      reader.setDaemon(true);
      reader.start();
    }

    private void read() {
      try (BufferedReader out = process.inputReader(StandardCharsets.UTF_8)) {
        for (String line = out.readLine(); line != null; line = out.readLine()) {
          if (line.endsWith("observing") && scanS == 0) {
            scanS = (System.nanoTime() - begun) * 1e-9;
            processorS =
                process.info().totalCpuDuration().orElse(Duration.ZERO).toMillis() / 1000.0;
          }
          synchronized (lines) {
            lines.add(line);
          }
        }
      } catch (IOException e) {
        synchronized (lines) {
          lines.add("its output ended: " + e);
        }
      }
    }

    Start awaitTelemetry() throws InterruptedException {
      while (told == 0) {
        if (!process.isAlive() || System.nanoTime() - begun > GIVE_UP_S * 1_000_000_000L) {
          throw new IllegalStateException("the controller told nothing; it printed " + said());
        }
        Thread.sleep(1);
      }
      return new Start(scanS, (told - begun) * 1e-9, processorS);
    }

    private String said() {
      synchronized (lines) {
        return String.join("\n", lines);
      }
    }

    String metrics() throws IOException, InterruptedException {
      Matcher url = METRICS.matcher(said());
      if (!url.find()) {
        throw new IllegalStateException("it offers no metrics; it printed " + said());
      }
      HttpResponse<String> answer =
          HttpClient.newHttpClient()
              .send(
                  HttpRequest.newBuilder(URI.create(url.group(1)))
                      .timeout(Duration.ofSeconds(GIVE_UP_S))
                      .build(),
                  HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
      return answer.body();
    }

    void collect() throws IOException, InterruptedException {
      ask("GC.run");
    }

    int classes() throws IOException, InterruptedException {
      String said = ask("PerfCounter.print");
      Matcher loaded = LOADED.matcher(said);
      if (!loaded.find()) {
        throw new IllegalStateException("the JVM does not say what it has loaded: " + said);
      }
      return Integer.parseInt(loaded.group(1));
    }

    private String ask(String what) throws IOException, InterruptedException {
      Path jcmd = Path.of(System.getProperty("java.home"), "bin", "jcmd");
      Path answer = folder.resolve("jcmd.txt");
      Process asked =
          new ProcessBuilder(jcmd.toString(), Long.toString(process.pid()), what)
              .redirectErrorStream(true)
              .redirectOutput(answer.toFile())
              .start();
      if (!asked.waitFor(GIVE_UP_S, TimeUnit.SECONDS) || asked.exitValue() != 0) {
        throw new IllegalStateException("the JVM does not answer to " + what);
      }
      return Files.readString(answer);
    }

    int end() throws InterruptedException {
      process.destroy();
      return process.waitFor(GIVE_UP_S, TimeUnit.SECONDS) ? process.exitValue() : -1;
    }

    @Override
    public void close() {
      process.destroyForcibly();
    }
  }

  /**
   * Starts it and ends it in good order.
   *
   * @param options more for the JVM
   */
  Start start(List<String> options) throws IOException, InterruptedException {
    try (Life life = new Life(options)) {
      Start start = life.awaitTelemetry();
      int code = life.end();
      if (code != 0) {
        throw new IllegalStateException("the controller ended with " + code);
      }
      return start;
    }
  }

  /** Lets it run, with a warning that comes or goes each 20 s, so that it plans anew each time. */
  Need run(double seconds) throws IOException, InterruptedException {
    Path log = folder.resolve("gc.log");
    try (Life life = new Life(List.of("-Xlog:gc:file=" + log))) {
      Start start = life.awaitTelemetry();
      long end = System.nanoTime() + Math.round(seconds * 1e9);
      while (System.nanoTime() < end) {
        order(orders % 2 == 0 ? OperatorOrder.WARN : OperatorOrder.ALL_CLEAR);
        Thread.sleep(Math.max(1, Math.min(REPLAN_MILLIS, (end - System.nanoTime()) / 1_000_000)));
      }
      String metrics = life.metrics();
      life.collect();
      int classes = life.classes();
      int code = life.end();
      if (code != 0) {
        throw new IllegalStateException("the controller ended with " + code);
      }
      return need(log, start, classes, metrics);
    }
  }

  private static Need need(Path log, Start start, int classes, String metrics) throws IOException {
    int collections = 0;
    int most = 0;
    int end = 0;
    double longest = 0;
    for (String line : Files.readAllLines(log)) {
      Matcher full = FULL.matcher(line);
      if (full.find()) {
        collections++;
        end = Integer.parseInt(full.group(1));
        most = Math.max(most, end);
        longest = Math.max(longest, Double.parseDouble(full.group(2)));
      }
    }
    return new Need(start, collections, most, end, longest, classes, metrics);
  }

  private void order(OperatorOrder order) {
    Instant now = Instant.now();
    long micros = now.getEpochSecond() * 1_000_000 + now.getNano() / 1_000;
    byte[] payload =
        SupervisorCommand.LAYOUT.encode(
            new SupervisorCommand(++orders, micros, 10, order, "storm", 3600));
    operator.publish(Message.of(topics.of(Device.SUPERVISOR, Kind.COMMAND), payload, 1, false));
  }

  @Override
  public void close() {
    devices.stop();
    devices.close();
    clients.close();
    broker.close();
  }

  /**
   * Measures and prints.
   *
   * @param args how many starts of each kind, and how many minutes the run shall last
   */
  public static void main(String[] args) throws Exception {
    int starts = args.length > 0 ? Integer.parseInt(args[0]) : 10;
    double minutes = args.length > 1 ? Double.parseDouble(args[1]) : 10;
    Path folder = Files.createTempDirectory("islet-field-trial");
    try (FieldTrial trial = new FieldTrial(folder)) {
      System.out.println("jar: " + Files.size(trial.jar) + " bytes");
      Path archive = folder.resolve("islet.jsa");
      trial.start(List.of("-XX:ArchiveClassesAtExit=" + archive));
      List<Start> plain = new ArrayList<>();
      List<Start> shared = new ArrayList<>();
      for (int i = 0; i < starts; i++) {
        plain.add(trial.start(List.of()));
        shared.add(trial.start(List.of("-XX:SharedArchiveFile=" + archive)));
      }
      print("plain", plain);
      print("with a class archive", shared);
      Need need = trial.run(minutes * 60);
      System.out.println(
          "heap: "
              + need.mostMb()
              + " MB at most after "
              + need.collections()
              + " full collections of at most "
              + Decimal.text(need.longestMs(), 0)
              + " ms, "
              + need.endMb()
              + " MB after the last, of "
              + HEAP_MB
              + " MB, and "
              + need.classes()
              + " classes");
      System.out.println(
          "scans: "
              + need.sample("islet_scans_total")
              + ", overruns: "
              + need.sample("islet_overruns_total")
              + ", plans: "
              + need.sample("islet_plans_total{outcome=\"made\"}")
              + ", longest scan: "
              + need.sample("islet_scan_longest_seconds")
              + " s");
      need.metrics()
          .lines()
          .filter(l -> l.startsWith("islet_scan_seconds"))
          .forEach(System.out::println);
    }
    System.exit(0);
  }

  private static void print(String what, List<Start> starts) {
    System.out.println(
        what
            + ", median and worst of "
            + starts.size()
            + ": first scan "
            + spread(starts.stream().mapToDouble(Start::scanS).sorted().toArray())
            + ", first telemetry "
            + spread(starts.stream().mapToDouble(Start::telemetryS).sorted().toArray())
            + ", processor time to the first scan "
            + spread(starts.stream().mapToDouble(Start::processorS).sorted().toArray()));
  }

  private static String spread(double... sorted) {
    return Decimal.text(sorted[sorted.length / 2], 2)
        + " / "
        + Decimal.text(sorted[sorted.length - 1], 2)
        + " s";
  }
}
