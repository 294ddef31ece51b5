package islet.live;

import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Scenario;
import islet.bench.SiteSimulation;
import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;
import islet.executive.journal.Entry;
import islet.executive.journal.JournalFolder;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * A live run over MQTT whose broker is killed with SIGKILL and started again, or whose controller
 * is cut off from the broker, at random instants, while the utility comes and goes and an operator
 * hangs padlocks and takes them off. The controller is a process of its own behind a {@link Relay};
 * the devices run in this process by the wall clock.
 *
 * <p>Judged after each incident: within {@link #BACK_S} of its end the mode that the supervisor
 * tells is what the plant's contact and panel say; the padlocks in its journal are those that were
 * acknowledged (an order without an answer may be in or out). And at the end by the hazards of
 * every run, on the plant's truth.
 *
 * <p>The hazard stale-command takes an answer for as late as it arrives. A broker that keeps its
 * sessions on disk hands an answer over when it is back, seconds later; so for the supervisor,
 * whose answers this concerns, the instant that the answer itself bears is judged in its place.
 */
final class LinkTrial implements AutoCloseable {

  /**
   * From the end of an incident to the right mode on the wire. The longest pause before an attempt
   * is 15 s, the attempt may take 5 s; then silence is listened to for the link time-out of 10 s,
   * and two heartbeats and a half make sure, 5 s.
   */
  static final double BACK_S = 35;

  /** An order is good for so long; after that it is in the journal or never. */
  private static final double ORDER_S = 2;

  private static final double ALIVE_PU = 0.85;
  private static final List<String> KEYS = List.of("dockmaster", "line crew", "electrician");

  /** What goes wrong. */
  enum Incident {
    /** The broker's process is killed and started again. */
    BROKER_KILLED,
    /** The connection breaks, and no new one is let in. */
    CUT,
    /** Nothing passes, and all of it comes later. */
    STALLED,
    /** Nothing gets from the controller to the broker, and all of it comes later. */
    STALLED_UP,
    /** Nothing gets from the broker to the controller, and all of it comes later. */
    STALLED_DOWN,
    /** Nothing passes, no end notices, and what was on its way is lost with the connection. */
    BLACK_HOLE
  }

  /** What came of it. */
  record Result(
      int incidents,
      int utilityChanges,
      int acknowledged,
      double worstBackS,
      List<String> findings) {}

  private final Random random;
  private final Path folder;
  private final Mosquitto broker;
  private final Relay relay;
  private final Scenario scenario;
  private final Topics topics;
  private final DevicesRun devices;
  private final Thread site;
  private final PahoBroker clients;
  private final Port operator;
  private final Process controller;
  private final Findings findings = new Findings();
  private final TreeSet<String> holds = new TreeSet<>();
  private final TreeSet<String> doubtful = new TreeSet<>();
  private volatile List<RunResult> results = List.of();
  private volatile String picture = "nothing was told";
  private volatile long rightNanos;
  private volatile long ackedSeq;
  private volatile long refusedSeq;
  private volatile long orderSeq;
  private volatile long orderedMicros;
  private boolean utilityThere = true;

  LinkTrial(long seed, Path folder, boolean persistent) throws IOException, InterruptedException {
    random = new Random(seed);
    this.folder = folder;
    Path siteFile = TrialSite.write(folder, "ferry-landing", "5 s");
    scenario = SiteOrScenario.alone(siteFile);
    topics = new Topics(scenario.site().id());
    broker = new Mosquitto(folder.resolve("mosquitto"), persistent);
    relay = new Relay(broker.port());
    devices = new DevicesRun(scenario, broker.url(), row -> {});
    site = new Thread(() -> results = List.of(devices.run().record("trial").result()), "site");
    site.start();
    // The operator is the trial's own eye, and comes back sooner than others.
    clients = new PahoBroker(broker.url(), new PahoSettings(5, 2, 3_600, 50, 200));
    operator =
        clients.connect(
            "operator-trial",
            Message.of("", new byte[0], 0, false),
            new Port.Listener() {
              @Override
              public void message(Message message) {
                hear(message);
              }

              @Override
              public void link(boolean up) {}
            });
    operator.subscribe(topics.of(Device.SUPERVISOR, Kind.TELEMETRY), 0);
    operator.subscribe(topics.of(Device.SUPERVISOR, Kind.ACK), 1);
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    controller =
        new ProcessBuilder(
                java,
                "-XX:+UseSerialGC",
                "-Xmx128m",
                "-XX:TieredStopAtLevel=1",
                "-Dlogback.configurationFile=islet/app/logging.xml",
                "-cp",
                KillTrial.classPath(),
                "islet.app.Main",
                "controller",
                "--site",
                siteFile.toString(),
                "--broker",
                relay.url(),
                "--journal",
                folder.resolve("journal").toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("controller.log").toFile())
            .start();
  }

  private void hear(Message message) {
    if (message.retain()) {
      return;
    }
    try {
      if (message.topic().equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY))) {
        SupervisorTelemetry told = SupervisorTelemetry.LAYOUT.decode(message.payload());
        devices.hand(() -> compare(told));
      } else {
        Ack ack = Ack.LAYOUT.decode(message.payload());
        if (ack.result() == AckResult.ACCEPTED) {
          ackedSeq = ack.command();
          if (ack.at() > orderedMicros + Math.round(ORDER_S * 1e6) && ack.command() == orderSeq) {
            findings.add("order " + ack.command() + " was accepted after its lifetime");
          }
        } else {
          refusedSeq = ack.command();
        }
      }
    } catch (MalformedException e) {
      findings.add("unreadable: " + e.getMessage());
    }
  }

  /** On the site's thread. */
  private void compare(SupervisorTelemetry told) {
    SiteSimulation plant = devices.simulation();
    boolean closed = plant.plant().tieClosed();
    boolean alive = plant.plant().criticalVoltagePu() >= ALIVE_PU;
    boolean fits =
        switch (told.mode()) {
          case GRID_PRESENT -> closed && alive;
          case ISLANDED, RECONNECTING -> !closed && alive;
          case ISLANDING -> alive;
          case STARTING, DARK, HELD -> false;
        };
    long now = System.nanoTime();
    // What has been stalled tells of the past.
    boolean fresh = Math.abs(Instant.now().toEpochMilli() - told.at() / 1_000) < 1_000;
    picture =
        told.mode()
            + (told.tieClosed() ? ", tie told closed" : ", tie told open")
            + (closed ? "; contact closed" : "; contact open")
            + (alive ? ", panel live" : ", panel dead");
    if (fits && fresh && told.tieClosed() == closed) {
      rightNanos = now;
    }
  }

  /**
   * Lets so many incidents happen.
   *
   * @param kinds from which each is drawn
   * @param longestS how long one lasts at most, s; the lengths are spread evenly over the decades
   *     from 1 ms on
   */
  Result run(int incidents, List<Incident> kinds, double longestS)
      throws IOException, InterruptedException {
    int utilityChanges = 0;
    int acknowledged = 0;
    double worst = 0;
    awaitRight(System.nanoTime(), "the start");
    for (int i = 0; i < incidents; i++) {
      Incident incident = kinds.get(random.nextInt(kinds.size()));
      double lengthS = Math.pow(10, -3 + random.nextDouble() * (3 + Math.log10(longestS)));
      String name = String.format("incident %d (%s, %.3f s)", i, incident, lengthS);
      long seq = order();
      long orderedNanos = System.nanoTime();
      Thread.sleep(random.nextInt(400));
      if (random.nextBoolean()) {
        utility();
        utilityChanges++;
        Thread.sleep(random.nextInt(300));
      }
      begin(incident);
      if (lengthS > 0.5 && random.nextBoolean()) {
        Thread.sleep(Math.round(lengthS * 500));
        utility();
        utilityChanges++;
        Thread.sleep(Math.round(lengthS * 500));
      } else {
        Thread.sleep(Math.round(lengthS * 1_000));
      }
      end(incident);
      worst = Math.max(worst, awaitRight(System.nanoTime(), name));
      long over = orderedNanos + (long) ((ORDER_S + 0.7) * 1e9);
      while (System.nanoTime() < over && ackedSeq < seq && refusedSeq < seq) {
        Thread.sleep(10);
      }
      acknowledged += settle(seq) ? 1 : 0;
      examineJournal(name);
      if (!controller.isAlive()) {
        findings.add(name + ": the controller has ended with " + controller.exitValue());
        break;
      }
      if ((i + 1) % 10 == 0) {
        System.out.printf(
            "%d incidents, %d changes of the utility, %d orders acknowledged, worst way back %.2f"
                + " s, findings %d%n",
            i + 1, utilityChanges, acknowledged, worst, findings.all().size());
      }
    }
    controller.destroy();
    controller.waitFor(10, TimeUnit.SECONDS);
    devices.stop();
    site.join();
    for (RunResult result : results) {
      for (RunResult.HazardVerdict hazard : result.hazards()) {
        boolean byArrival =
            hazard.id().equals("stale-command") && hazard.detail().startsWith("The supervisor");
        if (hazard.verdict() == Outcome.FAIL && !byArrival) {
          findings.add(hazard.id() + ": " + hazard.detail());
        }
      }
    }
    if (results.isEmpty()) {
      findings.add("the site's run ended without a result");
    }
    return new Result(incidents, utilityChanges, acknowledged, worst, findings.all());
  }

  private void begin(Incident incident) throws InterruptedException {
    switch (incident) {
      case BROKER_KILLED -> broker.kill();
      case CUT -> relay.cut();
      case STALLED, BLACK_HOLE -> relay.stall(true, true);
      case STALLED_UP -> relay.stall(true, false);
      case STALLED_DOWN -> relay.stall(false, true);
    }
  }

  private void end(Incident incident) throws IOException {
    switch (incident) {
      case BROKER_KILLED -> broker.restart();
      case CUT, STALLED, STALLED_UP, STALLED_DOWN -> relay.restore();
      case BLACK_HOLE -> {
        relay.breakAll();
        relay.restore();
      }
    }
  }

  /** Waits for a picture that was told after an instant, and is right. */
  private double awaitRight(long from, String what) throws InterruptedException {
    long limit = from + (long) (BACK_S * 2 * 1e9);
    while (rightNanos < from && System.nanoTime() < limit) {
      Thread.sleep(5);
    }
    double took = (Math.max(rightNanos, from) - from) * 1e-9;
    if (rightNanos < from) {
      findings.add(what + ": no right mode told within " + 2 * BACK_S + " s; last " + picture);
      return 2 * BACK_S;
    }
    if (took > BACK_S) {
      findings.add(String.format("%s: %.2f s to the right mode", what, took));
    }
    return took;
  }

  private void utility() {
    utilityThere = !utilityThere;
    boolean there = utilityThere;
    double hertz = scenario.site().utility().nominalHz();
    devices.hand(() -> devices.simulation().utility(there, there ? 1 : 0, hertz));
  }

  private String key = "";
  private boolean hang;

  /** Gives an order and waits for nothing. */
  private long order() {
    key = KEYS.get(random.nextInt(KEYS.size()));
    hang = !holds.contains(key);
    long seq = orderSeq + 1;
    long now = Instant.now().toEpochMilli() * 1_000;
    orderedMicros = now;
    orderSeq = seq;
    operator.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.COMMAND),
            SupervisorCommand.LAYOUT.encode(
                new SupervisorCommand(
                    seq, now, ORDER_S, hang ? OperatorOrder.HOLD : OperatorOrder.RELEASE, key, 0)),
            1,
            false,
            (int) ORDER_S,
            topics.of(Device.SUPERVISOR, Kind.ACK),
            Long.toString(seq).getBytes(StandardCharsets.US_ASCII)));
    return seq;
  }

  /** Whether the last order was acknowledged; if not, nobody knows. */
  private boolean settle(long seq) {
    doubtful.clear();
    if (ackedSeq < seq) {
      doubtful.add(key);
      return false;
    }
    if (hang) {
      holds.add(key);
    } else {
      holds.remove(key);
    }
    return true;
  }

  /** From a copy, since the controller goes on writing. */
  private void examineJournal(String name) throws IOException {
    Path copy = folder.resolve("journal-copy");
    Files.createDirectories(copy);
    try (Stream<Path> old = Files.list(copy)) {
      for (Path path : old.toList()) {
        Files.delete(path);
      }
    }
    try (Stream<Path> files = Files.list(folder.resolve("journal"))) {
      for (Path path : files.filter(Files::isRegularFile).toList()) {
        Files.copy(path, copy.resolve(path.getFileName()));
      }
    }
    Map<String, String> kept =
        new JournalFolder(copy).past().keepsake().map(Entry::fields).orElse(Map.of());
    TreeSet<String> hang = new TreeSet<>();
    kept.forEach(
        (field, text) -> {
          if (field.startsWith("hold ") && !text.isEmpty()) {
            hang.add(text);
          }
        });
    if (!without(hang, holds).isEmpty() || !without(holds, hang).isEmpty()) {
      findings.add(name + ": the journal has " + hang + ", acknowledged were " + holds);
    }
    holds.clear();
    holds.addAll(hang);
  }

  private Set<String> without(Collection<String> these, Collection<String> those) {
    TreeSet<String> left = new TreeSet<>(these);
    left.removeAll(those);
    left.removeAll(doubtful);
    return left;
  }

  @Override
  public void close() {
    controller.destroyForcibly();
    devices.stop();
    operator.close();
    clients.close();
    devices.close();
    relay.close();
    broker.close();
  }

  /**
   * A long trial: seed, number of incidents, and one of the words killed, killed-persistent and
   * network.
   */
  public static void main(String[] args) throws Exception {
    long seed = args.length > 0 ? Long.parseLong(args[0]) : 1;
    int incidents = args.length > 1 ? Integer.parseInt(args[1]) : 100;
    String what = args.length > 2 ? args[2] : "killed";
    boolean network = what.equals("network");
    List<Incident> kinds =
        network
            ? List.of(
                Incident.CUT,
                Incident.STALLED,
                Incident.STALLED_UP,
                Incident.STALLED_DOWN,
                Incident.BLACK_HOLE)
            : List.of(Incident.BROKER_KILLED);
    Path folder = Files.createTempDirectory("islet-link-");
    System.out.println("Files in " + folder);
    Result result;
    try (LinkTrial trial = new LinkTrial(seed, folder, what.equals("killed-persistent"))) {
      result = trial.run(incidents, kinds, network ? 60 : 3);
    }
    System.out.println(result);
    System.exit(result.findings().isEmpty() ? 0 : 1);
  }
}
