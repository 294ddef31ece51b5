package islet.live;

import islet.bench.Scenario;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.contract.SupervisorCommand;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.executive.Clock;
import islet.executive.Duty;
import islet.executive.Turn;
import islet.executive.journal.BackgroundJournal;
import islet.executive.journal.Entry;
import islet.executive.journal.FileJournal;
import islet.executive.journal.Journal;
import islet.executive.journal.JournalFolder;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.Thinker;
import islet.executive.wall.WallClock;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Stream;

/**
 * One client floods a site's broker with 10,000 messages a second while the controller supervises
 * simulated devices over it: the scan goes on, the site is none the worse, and what is dropped is
 * counted. For each kind of flood it tells how many scans were due and done and the longest time
 * between two.
 *
 * <p>Run {@link #main} with the seconds of each flood, 60 for instance; {@link FloodTrialTest} is
 * the short one.
 */
final class FloodTrial implements AutoCloseable {

  /** What the flood is made of. */
  enum Flood {
    /** Nothing: what this machine does when it is left in peace. */
    NONE,
    /** What is no message, on the topic of a device's telemetry. */
    NONSENSE,
    /** Orders of an operator, properly dated. */
    ORDERS,
    /** Topics that nobody knows, each another one. */
    STRANGE_TOPICS,
    /** Payloads above the limit, a hundredth as many. */
    LARGE
  }

  /**
   * What came of it.
   *
   * @param sent messages of the flood
   * @param seconds how long it lasted
   * @param due scans that were due meanwhile
   * @param done scans that were done meanwhile
   * @param all scans that were done until all of it had arrived
   * @param longestMs the longest time between two scans
   * @param dropped what broker, port and cycle counted as dropped, and orders without an answer
   * @param mode the supervisor's mode at the end
   * @param journalBytes by how much the journal grew
   */
  record Result(
      Flood flood,
      long sent,
      double seconds,
      long due,
      long done,
      long all,
      double longestMs,
      long dropped,
      Mode mode,
      long journalBytes) {

    @Override
    public String toString() {
      return String.format(
          Locale.ROOT,
          "%-14s sent %7d in %5.1f s, scans %4d of %4d, longest gap %6.1f ms, dropped %7d, mode %s,"
              + " journal +%d bytes",
          flood,
          sent,
          seconds,
          done,
          due,
          longestMs,
          dropped,
          mode,
          journalBytes);
    }
  }

  static final int PER_SECOND = 10_000;
  private static final int BURSTS_PER_SECOND = 100;
  private static final long NANOS = 1_000_000_000;

  private final Path folder;
  private final Scenario scenario;
  private final Topics topics;
  private final EmbeddedBroker broker;
  private final DevicesRun devices;
  private final Thread site;
  private final PahoBroker paho;
  private final FixedCycle cycle;
  private final Journal journal;
  private final Duty duty;
  private final Thread controller;
  private final Clock clock = WallClock.witnessed();
  private final AtomicLong scans = new AtomicLong();
  private volatile long lastScanNanos = System.nanoTime();
  private volatile long longestNanos;

  FloodTrial(Path folder) throws IOException, SurroundingsException, InterruptedException {
    this.folder = folder;
    scenario =
        SiteOrScenario.alone(
            Path.of(System.getProperty("islet.root", ".."), "config/sites/ferry-landing.yaml"));
    topics = new Topics(scenario.site().id());
    broker = EmbeddedBroker.start();
    devices = new DevicesRun(scenario, broker.url(), row -> {});
    site = new Thread(devices::run, "site");
    site.start();
    JournalFolder files = new JournalFolder(folder.resolve("journal"));
    journal = new BackgroundJournal(new FileJournal(files, files.past()));
    paho = new PahoBroker(broker.url(), PahoSettings.USUAL);
    cycle = new FixedCycle(scenario.site().supervision().scanS());
    duty =
        new Duty(
            scenario.site(),
            SiteSupervisor::new,
            cycle.over(paho),
            clock,
            "controller-trial",
            journal,
            Map.of(),
            false);
    duty.thinkWith(Thinker.beside());
    controller = new Thread(this::supervise, "controller");
    controller.start();
    for (int tries = 0; tries < 300 && mode() != Mode.GRID_PRESENT; tries++) {
      Thread.sleep(100);
    }
  }

  private void supervise() {
    try {
      cycle.run(
          new Turn() {
            @Override
            public void act() {
              duty.act();
              long now = System.nanoTime();
              longestNanos = Math.max(longestNanos, now - lastScanNanos);
              lastScanNanos = now;
              scans.incrementAndGet();
            }

            @Override
            public void tell() {
              duty.tell();
            }

            @Override
            public boolean urgent() {
              return duty.urgent();
            }
          });
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Read for display and for the end of a flood only. */
  Mode mode() {
    return duty.executive().outputs().mode;
  }

  private long dropped() {
    PahoBroker.Counts port = paho.counts();
    return broker.dropped()
        + port.overflow()
        + port.strange()
        + port.oversized()
        + cycle.dropped()
        + duty.executive().badMessages()
        + duty.executive().unheardOrders();
  }

  Result flood(Flood flood, double seconds) throws IOException, InterruptedException {
    long scansBefore = scans.get();
    long droppedBefore = dropped();
    long bytesBefore = journalBytes();
    longestNanos = 0;
    long begun = System.nanoTime();
    long sent = 0;
    try (RawClient client = new RawClient(broker.port(), "flooder", "", "")) {
      long bursts = Math.round(seconds * BURSTS_PER_SECOND);
      for (long burst = 0; burst < bursts; burst++) {
        long wait = begun + burst * NANOS / BURSTS_PER_SECOND - System.nanoTime();
        if (wait > 0) {
          Thread.sleep(wait / 1_000_000, (int) (wait % 1_000_000));
        }
        sent += burst(client, flood, burst);
      }
    }
    double lasted = (System.nanoTime() - begun) / 1e9;
    long done = scans.get() - scansBefore;
    settle();
    long all = scans.get() - scansBefore;
    return new Result(
        flood,
        sent,
        lasted,
        Math.round(lasted / scenario.site().supervision().scanS()),
        done,
        all,
        longestNanos / 1e6,
        dropped() - droppedBefore,
        mode(),
        journalBytes() - bytesBefore);
  }

  /** What is still under way belongs to the flood. */
  private void settle() throws InterruptedException {
    long before = -1;
    for (int tries = 0; tries < 20 && before != dropped(); tries++) {
      before = dropped();
      Thread.sleep(500);
    }
  }

  private int burst(RawClient client, Flood flood, long burst) throws IOException {
    int many = PER_SECOND / BURSTS_PER_SECOND;
    switch (flood) {
      case NONE -> many = 0;
      case NONSENSE -> {
        for (int i = 0; i < many; i++) {
          client.publish(topics.of(Device.REGULATOR, Kind.TELEMETRY), "{\"busVoltageV\":\"much\"}");
        }
      }
      case ORDERS -> {
        byte[] order =
            SupervisorCommand.LAYOUT.encode(
                new SupervisorCommand(burst, clock.micros(), 10, OperatorOrder.ACKNOWLEDGE, "", 0));
        for (int i = 0; i < many; i++) {
          client.publish(topics.of(Device.SUPERVISOR, Kind.COMMAND), order);
        }
      }
      case STRANGE_TOPICS -> {
        for (int i = 0; i < many; i++) {
          String topic =
              "islet/v1/" + scenario.site().id() + "/x" + (burst * many + i) + "/telemetry";
          client.publish(topic, "{}");
        }
      }
      case LARGE -> {
        many = 1;
        client.publish(
            topics.of(Device.REGULATOR, Kind.TELEMETRY), new byte[PahoBroker.PAYLOAD_LIMIT + 1]);
      }
    }
    client.flush();
    return many;
  }

  private long journalBytes() throws IOException {
    long bytes = 0;
    try (Stream<Path> files = Files.list(folder.resolve("journal"))) {
      for (Path file : files.toList()) {
        bytes += Files.size(file);
      }
    }
    return bytes;
  }

  @Override
  public void close() {
    cycle.stop();
    await(controller);
    duty.close();
    paho.close();
    var unused = journal.note(Entry.Kind.STOP, clock.micros(), Map.of("why", "over"), true);
    journal.close();
    devices.stop();
    await(site);
    devices.close();
    broker.close();
  }

  private static void await(Thread thread) {
    try {
      thread.join(10_000);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Floods by each kind in turn. */
  public static void main(String[] args) throws Exception {
    double seconds = args.length > 0 ? Double.parseDouble(args[0]) : 60;
    Path folder = Files.createTempDirectory("islet-flood-");
    List<Result> results = new ArrayList<>();
    try (FloodTrial trial = new FloodTrial(folder)) {
      for (Flood flood : Flood.values()) {
        Result result = trial.flood(flood, seconds);
        results.add(result);
        System.out.println(result);
      }
    }
    boolean good =
        results.stream()
            .allMatch(r -> r.mode() == Mode.GRID_PRESENT && r.done() * 10 >= r.due() * 9);
    System.out.println(good ? "The scan went on." : "THE SCAN DID NOT GO ON.");
    System.exit(good ? 0 : 1);
  }
}
