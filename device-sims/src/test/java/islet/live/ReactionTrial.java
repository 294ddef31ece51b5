package islet.live;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.Topics;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/**
 * How long the controller takes over real MQTT from the messages of tie and meter that the utility
 * is gone (the time runs from before the first of the two is handed over) to the order to open at
 * the tie, against an echo of the same sizes between two bare clients through the same broker in
 * the same process and minutes: one way at QoS 0, back at QoS 1 with the same properties.
 *
 * <p>The controllers are what ships (duty, fixed cycle of the demo site's 100 ms, journal on disk,
 * port), one for each of some copies of the demo site, whose utility needs no delay to qualify. The
 * devices are {@link StubSite}s behind two bare clients, one of them for the meters. Edges fall at
 * random instants of the cycle; before each there is an echo, in quiet as the edge is. Nothing is
 * taken off for the scan: an edge wakes the executive, so its cycle is not waited for.
 */
final class ReactionTrial implements AutoCloseable {

  /** What a ratio may be at most; set by the project before anything was measured. */
  static final double MOST = 1.5;

  private static final int SITES = 8;
  private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(30);
  private static final String ASK = "islet-echo/ask";
  private static final String ANSWER = "islet-echo/answer";

  /** What was measured, ns. */
  @SuppressWarnings("ArrayRecordComponent") // never compared
  record Result(long[] reactions, long[] echoes, long overruns, long early, List<String> findings) {

    double ratio(double share) {
      return (double) at(reactions, share) / at(echoes, share);
    }

    static long at(long[] sorted, double share) {
      return sorted[(int) Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
    }

    String text(String broker) {
      return String.format(
          "%s: %d edges, %d echoes; reaction p50 %.3f ms, p99 %.3f ms; echo p50 %.3f ms, p99 %.3f"
              + " ms; ratio p50 %.2f, p99 %.2f; %d early scans, %d cycles without a scan",
          broker,
          reactions.length,
          echoes.length,
          at(reactions, 0.5) * 1e-6,
          at(reactions, 0.99) * 1e-6,
          at(echoes, 0.5) * 1e-6,
          at(echoes, 0.99) * 1e-6,
          ratio(0.5),
          ratio(0.99),
          early,
          overruns);
    }
  }

  private final Random random;
  private final List<StubSite> sites = new ArrayList<>();
  private final List<TrialController> controllers = new ArrayList<>();
  private final BareClient field;
  private final BareClient meters;
  private final BareClient asker;
  private final BareClient answerer;
  private volatile long answeredNanos;

  ReactionTrial(long seed, Path folder, String url) throws IOException, MqttException {
    this(seed, folder, url, "100 ms");
  }

  /**
   * Starts everybody.
   *
   * @param scan the sites' cycle, as a site file writes it
   */
  ReactionTrial(long seed, Path folder, String url, String scan) throws IOException, MqttException {
    random = new Random(seed);
    field = new BareClient(url, "trial-field", this::heard);
    meters = new BareClient(url, "trial-meters", this::heard);
    asker = new BareClient(url, "trial-asker", (topic, message) -> answered());
    answerer = new BareClient(url, "trial-answerer", (topic, message) -> answer());
    asker.subscribe(ANSWER, 1);
    answerer.subscribe(ASK, 0);
    for (int i = 0; i < SITES; i++) {
      String id = "reaction-" + i;
      sites.add(new StubSite(id, field, meters));
      field.subscribe("islet/v1/" + id + "/supervisor/telemetry", 0);
      field.subscribe("islet/v1/" + id + "/+/command", 1);
      Path site = TrialSite.write(folder, id, "0 s", scan);
      controllers.add(new TrialController(site, folder.resolve("journal-" + id), url));
    }
  }

  private void heard(String topic, MqttMessage message) {
    String id = topic.split("/", -1)[2];
    for (StubSite site : sites) {
      if (site.topics().everything().startsWith("islet/v1/" + id + "/")) {
        site.arrived(topic, message.getPayload());
        return;
      }
    }
  }

  private void answered() {
    answeredNanos = System.nanoTime();
  }

  /** Sizes and properties as those of the order to a tie. */
  private void answer() {
    Topics topics = sites.get(0).topics();
    MqttProperties properties = new MqttProperties();
    properties.setMessageExpiryInterval(3L);
    properties.setResponseTopic(topics.of(Device.TIE, Kind.ACK));
    properties.setCorrelationData("1768424400001".getBytes(StandardCharsets.US_ASCII));
    byte[] payload =
        TieCommand.LAYOUT.encode(new TieCommand(1_768_424_400_001L, 0, 3, TieOrder.OPEN, ""));
    answerer.send(ANSWER, new MqttMessage(payload, 1, false, properties));
  }

  private static byte[] question() {
    return MeterTelemetry.LAYOUT.encode(
        new MeterTelemetry(
            1_000,
            Instant.now().toEpochMilli() * 1_000,
            0,
            0,
            0,
            250,
            0,
            1,
            54,
            11,
            15,
            "",
            false));
  }

  /**
   * Measures.
   *
   * @param edges counted; a tenth as many before them warm up both ways
   */
  Result run(int edges) {
    sites.forEach(StubSite::begin);
    Thread beat = new Thread(this::beat, "beat");
    beat.setDaemon(true);
    beat.start();
    List<String> findings = new ArrayList<>();
    int warm = edges / 10 + SITES;
    long[] reactions = new long[edges];
    long[] echoes = new long[edges];
    int counted = 0;
    for (int i = 0; i < warm + edges && findings.size() < 10; i++) {
      StubSite site = sites.get(i % SITES);
      if (!await(() -> site.mode() == Mode.GRID_PRESENT)) {
        findings.add(site.topics().everything() + " is still " + site.mode() + " after 30 s");
        continue;
      }
      pause();
      long echo = echo();
      pause();
      long begun = site.utility(false);
      if (!await(() -> site.openArrivedNanos() - begun > 0)) {
        findings.add("edge " + i + " brought no order to open within 30 s");
        continue;
      }
      long reaction = site.openArrivedNanos() - begun;
      if (!await(() -> site.mode() == Mode.ISLANDED)) {
        findings.add("edge " + i + " led to " + site.mode() + ", not to ISLANDED, within 30 s");
      }
      site.utility(true);
      if (i >= warm && echo > 0) {
        reactions[counted] = reaction;
        echoes[counted] = echo;
        counted++;
      }
    }
    beat.interrupt();
    for (TrialController controller : controllers) {
      if (!controller.failure().isEmpty()) {
        findings.add("a controller failed: " + controller.failure());
      }
    }
    long[] sorted = Arrays.copyOf(reactions, counted);
    long[] sortedEchoes = Arrays.copyOf(echoes, counted);
    Arrays.sort(sorted);
    Arrays.sort(sortedEchoes);
    return new Result(
        sorted,
        sortedEchoes,
        controllers.stream().mapToLong(c -> c.cycle().overruns()).sum(),
        controllers.stream().mapToLong(c -> c.cycle().early()).sum(),
        findings);
  }

  private long echo() {
    answeredNanos = 0;
    byte[] question = question();
    long begun = System.nanoTime();
    asker.send(ASK, question, 0, false);
    return await(() -> answeredNanos != 0) ? answeredNanos - begun : 0;
  }

  /**
   * Half a cycle at least, so that between two edges of a site there is a whole one; and up to half
   * a cycle more, so that an edge falls anywhere in it.
   */
  private void pause() {
    LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(55) + random.nextInt(50_000_000));
  }

  private interface Sign {
    boolean seen();
  }

  private static boolean await(Sign sign) {
    long limit = System.nanoTime() + PATIENCE_NANOS;
    while (!sign.seen()) {
      if (System.nanoTime() > limit) {
        return false;
      }
      LockSupport.parkNanos(500_000);
    }
    return true;
  }

  private void beat() {
    try {
      while (true) {
        // Spread over the second, as eight sites would be.
        for (StubSite site : sites) {
          Thread.sleep(1_000 / SITES);
          site.beat();
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    controllers.forEach(TrialController::close);
    asker.close();
    answerer.close();
    field.close();
    meters.close();
  }

  /** A long trial: seed, number of edges, one or both of the words mosquitto and embedded. */
  public static void main(String[] args) throws Exception {
    long seed = args.length > 0 ? Long.parseLong(args[0]) : 1;
    int edges = args.length > 1 ? Integer.parseInt(args[1]) : 3_000;
    List<String> brokers =
        args.length > 2
            ? Arrays.asList(args).subList(2, args.length)
            : List.of("mosquitto", "embedded");
    boolean good = true;
    for (String broker : brokers) {
      Path folder = Files.createTempDirectory("islet-reaction-");
      Result result;
      if (broker.equals("embedded")) {
        try (EmbeddedBroker running = EmbeddedBroker.start();
            ReactionTrial trial = new ReactionTrial(seed, folder, running.url())) {
          result = trial.run(edges);
        }
      } else {
        try (Mosquitto running = new Mosquitto(folder.resolve("mosquitto"), false);
            ReactionTrial trial = new ReactionTrial(seed, folder, running.url())) {
          result = trial.run(edges);
        }
      }
      System.out.println(result.text(broker));
      result.findings().forEach(System.out::println);
      good &=
          result.findings().isEmpty() && result.ratio(0.5) <= MOST && result.ratio(0.99) <= MOST;
    }
    System.exit(good ? 0 : 1);
  }
}
