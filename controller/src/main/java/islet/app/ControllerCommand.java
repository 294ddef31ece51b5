package islet.app;

import islet.contract.IsoTime;
import islet.control.SiteSupervisor;
import islet.executive.Duty;
import islet.executive.Notices;
import islet.executive.journal.BackgroundJournal;
import islet.executive.journal.Entry;
import islet.executive.journal.FileJournal;
import islet.executive.journal.Journal;
import islet.executive.journal.JournalFolder;
import islet.executive.wall.FixedCycle;
import islet.executive.wall.LockstepCycle;
import islet.executive.wall.Thinker;
import islet.executive.wall.WallClock;
import islet.executive.wall.Watchdog;
import islet.metrics.MetricsUnavailableException;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicBoolean;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Runs the controller alone against a broker where devices speak the contract. */
@Command(
    name = "controller",
    mixinStandardHelpOptions = true,
    description = {
      "Supervises a site over MQTT until Ctrl-C or a polite kill.",
      "",
      "It starts as an observer and takes command when no other supervisor is there. Certified"
          + " device protection protects; this does not. Isolate, lock out and test dead before"
          + " anybody works on live parts."
    },
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:ended in good order",
      "1:the controller failed, and says why; the devices go on by themselves",
      "2:the input is wrong",
      "3:the surroundings are wrong: broker unreachable, journal not writable"
    })
public final class ControllerCommand implements Callable<Integer> {

  private static final int DONE = 0;
  private static final int FAILED = 1;
  private static final int BAD_INPUT = 2;
  private static final int BAD_SURROUNDINGS = 3;

  private static final Duration PROBE = Duration.ofSeconds(5);

  @Option(
      names = "--site",
      required = true,
      paramLabel = "SITE",
      description = "the site file (YAML)")
  private Path siteFile = Path.of("");

  @Option(
      names = "--broker",
      required = true,
      paramLabel = "URL",
      description =
          "an MQTT 5 broker that runs already, such as tcp://127.0.0.1:1883 or, beyond this"
              + " machine, ssl://broker.example:8883 with --user")
  private String broker = "";

  @Mixin private final BrokerOptions account = new BrokerOptions();

  @Option(
      names = "--observe",
      description = "computes and journals, commands nothing, whoever else is there or not")
  private boolean observe;

  @Option(
      names = "--lockstep",
      description =
          "scans when a bench calls for it (devices --lockstep), in simulated time, and ends with"
              + " it; keeps no journal")
  private boolean lockstep;

  @Option(
      names = "--journal",
      paramLabel = "DIR",
      description =
          "the folder of the journal, made when it is not there (default: journal/ and the site's"
              + " id); one for each controller")
  private Path journalFolder = Path.of("");

  @Option(
      names = "--metrics",
      paramLabel = "[ADDRESS:]PORT",
      description =
          "offers OpenMetrics at this port, path /metrics; without an address only to this"
              + " machine, and to whoever is on it: it has no check of who asks")
  private String metrics = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws InterruptedException {
    PrintWriter err = spec.commandLine().getErr();
    Access access;
    try {
      access = account.access(broker);
    } catch (ParameterException e) {
      err.println(e.getMessage());
      return BAD_INPUT;
    }
    Site site;
    try {
      site = SiteReader.read(siteFile);
    } catch (InputException e) {
      e.problems().forEach(err::println);
      return BAD_INPUT;
    }
    Optional<InetSocketAddress> metricsAt;
    try {
      metricsAt = MetricsDesk.address(metrics);
    } catch (IllegalArgumentException e) {
      err.println(e.getMessage());
      return BAD_INPUT;
    }
    if (lockstep) {
      return inLockstep(site, access);
    }
    Path folder =
        journalFolder.toString().isEmpty() ? Path.of("journal", site.id()) : journalFolder;
    try {
      JournalFolder files = new JournalFolder(folder);
      JournalFolder.Past past = files.past();
      try (MetricsDesk desk = MetricsDesk.open(metricsAt);
          Journal journal = new BackgroundJournal(new FileJournal(files, past))) {
        PahoBroker.probe(broker, access, PROBE);
        return supervise(site, journal, past, access, desk);
      }
    } catch (MetricsUnavailableException e) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    } catch (BrokerUnreachableException e) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    } catch (IOException e) {
      err.println(
          "The journal in "
              + folder
              + " cannot be used ("
              + e
              + "). Make room or mend permissions, or name another folder with --journal.");
      return BAD_SURROUNDINGS;
    }
  }

  private int inLockstep(Site site, Access access) throws InterruptedException {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    if (observe || !journalFolder.toString().isEmpty() || !metrics.isEmpty()) {
      err.println(
          "--lockstep: found beside --observe, --journal or --metrics; allowed is none of them, since"
              + " a bench wants commands, and a run in simulated time is no part of a site's journal"
              + " or of its metrics.");
      return BAD_INPUT;
    }
    try {
      PahoBroker.probe(broker, access, PROBE);
    } catch (BrokerUnreachableException e) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    }
    try (PahoBroker paho = new PahoBroker(broker, PahoSettings.USUAL.with(access))) {
      LockstepCycle cycle = new LockstepCycle(site, SiteSupervisor::new, "islet", paho);
      Stop stop = new Stop(cycle::stop);
      out.println("Waiting at " + broker + " for a bench of " + site.id() + ".");
      boolean ended = cycle.run();
      out.println(ended ? "The bench has ended the run." : "Stopped.");
      cycle.close();
      stop.leaveWith(DONE);
    }
    return DONE;
  }

  private int supervise(
      Site site, Journal journal, JournalFolder.Past past, Access access, MetricsDesk desk)
      throws IOException, InterruptedException {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    String instance = Instance.name();
    WallClock clock = new WallClock();
    Map<String, String> start = new LinkedHashMap<>();
    start.put("version", Instance.version());
    start.put("site", site.id());
    start.put("settings", Instance.digest(siteFile));
    start.put("instance", instance);
    tellOfPast(out, past, start);
    var unused = journal.note(Entry.Kind.START, clock.micros(), start, true);
    FixedCycle cycle = new FixedCycle(site.supervision().scanS());
    AtomicBoolean over = new AtomicBoolean();
    Stop stop = new Stop(cycle::stop);
    new Watchdog(
            cycle,
            sentence -> {
              if (!over.get()) {
                err.println(sentence);
                err.flush();
                Runtime.getRuntime().halt(FAILED);
              }
            })
        .start(Thread.currentThread());
    int code = DONE;
    try (PahoBroker paho = new PahoBroker(broker, PahoSettings.USUAL.with(access))) {
      Duty duty =
          new Duty(
              site,
              SiteSupervisor::new,
              cycle.over(paho),
              clock,
              instance,
              journal,
              past.keepsake().map(Entry::fields).orElse(Map.of()),
              observe);
      duty.thinkWith(Thinker.beside());
      Notices notices = new Notices(duty, cycle::overruns, line -> tell(out, clock, line));
      out.println(instance + " supervises " + site.name() + " at " + broker + ".");
      if (!desk.sentence().isEmpty()) {
        out.println(desk.sentence());
      }
      try {
        Runnable scan =
            () -> {
              duty.scan();
              notices.look(clock.micros());
            };
        cycle.run(
            desk.measure(scan, clock::micros, site, duty, journal, cycle, paho, start),
            duty::urgent);
      } catch (RuntimeException e) {
        code = FAILED;
        err.println("The controller failed and ends; the devices go on by themselves.");
        e.printStackTrace(err);
      }
      over.set(true);
      unused =
          journal.note(
              Entry.Kind.STOP,
              clock.micros(),
              Map.of("why", code == DONE ? "told to end" : "failed"),
              true);
      duty.close();
    }
    journal.close();
    stop.leaveWith(code);
    return code;
  }

  private static void tellOfPast(
      PrintWriter out, JournalFolder.Past past, Map<String, String> start) {
    if (past.damaged()) {
      out.println(
          "Notes of the journal are damaged behind what is restored. Compare the holds that hang"
              + " with those that should.");
    }
    String before = past.start().map(s -> s.text("settings")).orElse("");
    if (!before.isEmpty() && !before.equals(start.get("settings"))) {
      out.println("The site file has changed since the last start.");
    }
  }

  private static void tell(PrintWriter out, WallClock clock, String line) {
    out.println(IsoTime.text(clock.micros()) + "  " + line);
    out.flush();
  }
}
