package islet.live;

import islet.bench.EventLog;
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
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.contract.Topics;
import islet.executive.journal.Entry;
import islet.executive.journal.JournalFolder;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;

/**
 * The controller as a process of its own, killed with SIGKILL at random instants and started again
 * at once, while devices run in this process over a real broker, the utility comes and goes, and an
 * operator hangs padlocks and takes them off.
 *
 * <p>Judged after each kill: the journal can be read and is whole; the padlocks in it, and the wish
 * to stay islanded, are those that were acknowledged (the one order under way may be in or out);
 * once the process scans, within two seconds the mode that it tells is what the plant's contact and
 * panel say. And at the end by the hazards of every run.
 *
 * <p>Times are this process's own: a start is the instant at which the process was asked for, its
 * first scan the line that it prints then.
 */
final class KillTrial implements AutoCloseable {

  /** From the first scan to the right mode on the wire, of a machine that has time for it. */
  static final double BOUND_S = 2;

  private static final long GIVE_UP_S = 20;
  private static final List<String> KEYS = List.of("dockmaster", "line crew", "electrician");
  private static final double ALIVE_PU = 0.85;

  /** What came of it. */
  record Result(
      int kills,
      int early,
      int orders,
      double worstFromScanS,
      double worstFromStartS,
      List<String> findings) {}

  private final Random random;
  private final Path folder;
  private final double boundS;
  private final Path siteFile;
  private final Scenario scenario;
  private final Topics topics;
  private final EmbeddedBroker broker;
  private final PahoBroker clients;
  private final DevicesRun devices;
  private final Thread site;
  private final Port operator;
  private final Findings findings = new Findings();
  private final TreeSet<String> holds = new TreeSet<>();
  private boolean islandWish;
  private volatile List<RunResult> results = List.of();
  private volatile String mismatch = "nothing was told";
  private volatile boolean right;
  private volatile long ackedSeq;
  private long orderSeq;
  private boolean utilityThere = true;

  KillTrial(long seed, Path folder, double boundS) throws IOException, SurroundingsException {
    random = new Random(seed);
    this.folder = folder;
    this.boundS = boundS;
    siteFile = TrialSite.write(folder, "ferry-landing", "5 s"); // not five minutes
    Scenario alone = SiteOrScenario.alone(siteFile);
    scenario = alone;
    topics = new Topics(scenario.site().id());
    broker = EmbeddedBroker.start();
    devices = new DevicesRun(scenario, broker.url(), KillTrial::heard);
    site = new Thread(() -> results = List.of(devices.run().record("trial").result()), "site");
    site.start();
    clients = new PahoBroker(broker.url(), PahoSettings.USUAL);
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
  }

  private static void heard(EventLog.Row row) {
    if (Boolean.getBoolean("islet.trial.events")) {
      System.out.println(row);
    }
  }

  private void hear(Message message) {
    try {
      if (message.topic().equals(topics.of(Device.SUPERVISOR, Kind.TELEMETRY))) {
        SupervisorTelemetry told = SupervisorTelemetry.LAYOUT.decode(message.payload());
        devices.hand(() -> compare(told));
      } else {
        Ack ack = Ack.LAYOUT.decode(message.payload());
        if (ack.result() == AckResult.ACCEPTED) {
          ackedSeq = ack.command();
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
    right = fits && told.tieClosed() == closed;
    if (!right) {
      mismatch =
          told.mode()
              + (told.tieClosed() ? ", tie told closed" : ", tie told open")
              + (closed ? "; contact closed" : "; contact open")
              + (alive ? ", panel live" : ", panel dead");
    }
    if (told.mode() == Mode.HELD || told.mode() == Mode.DARK) {
      findings.add("at " + Instant.now() + " " + mismatch);
    }
  }

  /** One life of the controller. */
  private final class Life implements AutoCloseable {
    final Process process;
    final long started = System.nanoTime();
    volatile long scanning;

    Life() throws IOException {
      String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
      process =
          new ProcessBuilder(
                  java,
                  "-XX:+UseSerialGC",
                  "-Xmx128m",
                  "-XX:TieredStopAtLevel=1",
                  "-Dlogback.configurationFile=islet/app/logging.xml",
                  "-cp",
                  classPath(),
                  "islet.app.Main",
                  "controller",
                  "--site",
                  siteFile.toString(),
                  "--broker",
                  broker.url(),
                  "--journal",
                  folder.resolve("journal").toString())
              .redirectError(
                  ProcessBuilder.Redirect.appendTo(folder.resolve("controller.log").toFile()))
              .start();
      Thread reader = new Thread(this::read, "reader");
      reader.setDaemon(true);
      reader.start();
    }

    private void read() {
      try (BufferedReader lines = process.inputReader(StandardCharsets.UTF_8)) {
        for (String line = lines.readLine(); line != null; line = lines.readLine()) {
          if (line.endsWith("observing") && scanning == 0) {
            scanning = System.nanoTime();
          }
        }
      } catch (IOException e) {
        scanning = scanning == 0 ? -1 : scanning; // killed while it spoke
      }
    }

    /** SIGKILL: nothing in the process gets to know. */
    @Override
    public void close() {
      process.destroyForcibly();
      try {
        process.waitFor(10, TimeUnit.SECONDS);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  /** Only what ships, wherever the class path of this process has it. */
  static String classPath() {
    return Arrays.stream(System.getProperty("java.class.path").split(File.pathSeparator))
        .filter(
            entry ->
                !entry.contains("hivemq")
                    && !entry.contains(
                        "device-sims" + File.separator + "target" + File.separator + "test"))
        .collect(Collectors.joining(File.pathSeparator));
  }

  /** Kills so many times. */
  Result run(int kills) throws IOException, InterruptedException {
    int early = 0;
    int orders = 0;
    double worstFromScan = 0;
    double worstFromStart = 0;
    for (int i = 0; i < kills; i++) {
      boolean hurry = random.nextInt(5) == 0;
      long hurryMillis = 100L + random.nextInt(1_500);
      right = false;
      try (Life life = new Life()) {
        if (hurry) {
          early++;
          Thread.sleep(hurryMillis);
        } else {
          long reached = awaitRight(life, i);
          if (reached > 0) {
            worstFromScan = Math.max(worstFromScan, (reached - life.scanning) * 1e-9);
            worstFromStart = Math.max(worstFromStart, (reached - life.started) * 1e-9);
          }
          maybeUtility();
          boolean answered = true;
          for (int k = random.nextInt(3); k > 0 && answered; k--) {
            orders++;
            answered = order(random.nextInt(4) == 0);
          }
          if (answered) {
            Thread.sleep(random.nextInt(800));
          }
        }
      }
      examineJournal(i);
      if ((i + 1) % 10 == 0) {
        System.out.printf(
            "%d kills, %d orders, worst from first scan %.2f s, from start %.2f s, findings %d%n",
            i + 1, orders, worstFromScan, worstFromStart, findings.all().size());
      }
    }
    devices.stop();
    site.join();
    for (RunResult result : results) {
      for (RunResult.HazardVerdict hazard : result.hazards()) {
        if (hazard.verdict() == Outcome.FAIL) {
          findings.add(hazard.id() + ": " + hazard.detail());
        }
      }
    }
    if (results.isEmpty()) {
      findings.add("the site's run ended without a result");
    }
    return new Result(kills, early, orders, worstFromScan, worstFromStart, findings.all());
  }

  private long awaitRight(Life life, int number) throws InterruptedException {
    long limit = System.nanoTime() + TimeUnit.SECONDS.toNanos(GIVE_UP_S);
    while (!right && System.nanoTime() < limit) {
      Thread.sleep(5);
    }
    long reached = System.nanoTime();
    if (!right || life.scanning <= 0) {
      findings.add("life " + number + " has not told the right mode in 20 s: " + mismatch);
      return 0;
    }
    double took = (reached - life.scanning) * 1e-9;
    if (took > boundS) {
      findings.add(
          String.format(
              "life %d took %.2f s from its first scan to the right mode: %s",
              number, took, mismatch));
    }
    return reached;
  }

  private void maybeUtility() {
    if (random.nextInt(3) == 0) {
      utilityThere = !utilityThere;
      boolean there = utilityThere;
      devices.hand(
          () ->
              devices
                  .simulation()
                  .utility(there, there ? 1 : 0, scenario.site().utility().nominalHz()));
    }
  }

  /**
   * Gives an order; with the process's end near it may or may not be answered, and only what is
   * answered counts.
   */
  private boolean order(boolean killSoon) throws InterruptedException {
    String key = KEYS.get(random.nextInt(KEYS.size()));
    int which = random.nextInt(6);
    OperatorOrder order =
        which == 0
            ? OperatorOrder.ISLAND
            : which < 3
                ? OperatorOrder.RECONNECT
                : holds.contains(key) ? OperatorOrder.RELEASE : OperatorOrder.HOLD;
    boolean keyed = order == OperatorOrder.HOLD || order == OperatorOrder.RELEASE;
    long seq = ++orderSeq;
    underWay = keyed ? key : order.name();
    operator.publish(
        new Message(
            topics.of(Device.SUPERVISOR, Kind.COMMAND),
            SupervisorCommand.LAYOUT.encode(
                new SupervisorCommand(
                    seq, Instant.now().toEpochMilli() * 1_000, 10, order, keyed ? key : "", 0)),
            1,
            false,
            10,
            topics.of(Device.SUPERVISOR, Kind.ACK),
            Long.toString(seq).getBytes(StandardCharsets.US_ASCII)));
    long limit =
        System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(killSoon ? random.nextInt(250) : 5_000);
    while (ackedSeq < seq && System.nanoTime() < limit) {
      Thread.sleep(2);
    }
    if (ackedSeq >= seq) {
      underWay = "";
      switch (order) {
        case HOLD -> holds.add(key);
        case RELEASE -> holds.remove(key);
        case ISLAND -> islandWish = true;
        case RECONNECT -> islandWish = false;
        case ACKNOWLEDGE,
            RESET,
            SHELVE,
            UNSHELVE,
            OVERRIDE,
            END_OVERRIDE,
            AUTO,
            MANUAL,
            EQUALISE,
            WARN,
            ALL_CLEAR -> {}
      }
      return true;
    }
    if (!killSoon) {
      findings.add("order " + seq + " " + order + " was not answered within 5 s");
    }
    return false;
  }

  /** The key, or the wish, of an order that has not been answered. */
  private String underWay = "";

  private void examineJournal(int number) throws IOException {
    JournalFolder journal = new JournalFolder(folder.resolve("journal"));
    JournalFolder.Past past = journal.past();
    if (past.damaged()) {
      findings.add("after kill " + number + " the journal is damaged");
    }
    Map<String, String> kept = past.keepsake().map(Entry::fields).orElse(Map.of());
    TreeSet<String> hang = new TreeSet<>();
    kept.forEach(
        (name, text) -> {
          if (name.startsWith("hold ") && !text.isEmpty()) {
            hang.add(text);
          }
        });
    TreeSet<String> wrong = new TreeSet<>(hang);
    wrong.removeAll(holds);
    TreeSet<String> missing = new TreeSet<>(holds);
    missing.removeAll(hang);
    wrong.remove(underWay);
    missing.remove(underWay);
    if (!wrong.isEmpty() || !missing.isEmpty()) {
      findings.add(
          "after kill "
              + number
              + " the journal has holds too many "
              + wrong
              + ", lost "
              + missing);
    }
    boolean wish = "true".equals(kept.get("island asked"));
    boolean doubtful =
        underWay.equals(OperatorOrder.ISLAND.name())
            || underWay.equals(OperatorOrder.RECONNECT.name());
    if (wish != islandWish && !doubtful) {
      findings.add("after kill " + number + " the wish to stay islanded is lost");
    }
    // What is in the journal is in force from now on, answered or not.
    holds.clear();
    holds.addAll(hang);
    islandWish = wish;
    underWay = "";
  }

  @Override
  public void close() {
    devices.stop();
    operator.close();
    clients.close();
    devices.close();
    broker.close();
  }

  /** A long trial: first seed, number of kills. */
  public static void main(String[] args) throws Exception {
    long seed = args.length > 0 ? Long.parseLong(args[0]) : 1;
    int kills = args.length > 1 ? Integer.parseInt(args[1]) : 500;
    Path folder = Files.createTempDirectory("islet-kills-");
    System.out.println("Files in " + folder);
    Result result;
    try (KillTrial trial = new KillTrial(seed, folder, BOUND_S)) {
      result = trial.run(kills);
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
    System.out.println(result);
    System.exit(result.findings().isEmpty() ? 0 : 1);
  }
}
