package islet.app;

import islet.control.SiteSupervisor;
import islet.executive.wall.LockstepCycle;
import islet.executive.wall.Thinker;
import islet.metrics.MetricsUnavailableException;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.site.InputException;
import islet.site.Problem;
import islet.site.Site;
import islet.site.SiteReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.concurrent.Executor;
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
      description =
          "the site file (YAML); may be given several times, for several sites in one process")
  private List<Path> siteFiles = List.of();

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
              + " id); one for each controller. With several sites, the folder that holds one for"
              + " each, by its id")
  private Path journalFolder = Path.of("");

  @Option(
      names = "--metrics",
      paramLabel = "[ADDRESS:]PORT",
      description =
          "offers OpenMetrics at this port, path /metrics; without an address only to this"
              + " machine, and to whoever is on it: it has no check of who asks. With several sites each"
              + " sample has the label site")
  private String metrics = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws InterruptedException {
    PrintWriter err = spec.commandLine().getErr();
    Access access;
    List<Site> sites;
    Optional<InetSocketAddress> metricsAt;
    try {
      access = account.access(broker);
      sites = sites();
      metricsAt = MetricsDesk.address(metrics);
      refuseForSeveral(sites);
    } catch (ParameterException | IllegalArgumentException e) {
      err.println(e.getMessage());
      return BAD_INPUT;
    } catch (InputException e) {
      e.problems().forEach(err::println);
      return BAD_INPUT;
    }
    if (lockstep) {
      return inLockstep(sites.get(0), access);
    }
    List<SiteShift> shifts = new ArrayList<>();
    Executor thinker = Thinker.beside(); // one for all, so that many plans do not crowd out scans
    try (MetricsDesk desk = MetricsDesk.open(metricsAt, sites.size() > 1)) {
      try {
        for (int i = 0; i < sites.size(); i++) {
          shifts.add(shift(sites.get(i), siteFiles.get(i), sites.size() > 1, thinker));
        }
        PahoBroker.probe(broker, access, PROBE);
        return supervise(shifts, access, desk);
      } finally {
        for (SiteShift shift : shifts) {
          shift.close();
        }
      }
    } catch (MetricsUnavailableException | BrokerUnreachableException e) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    } catch (IOException e) {
      err.println(e.getMessage());
      return BAD_SURROUNDINGS;
    }
  }

  /** All of them, with everything that is wrong in any. */
  private List<Site> sites() {
    List<Problem> problems = new ArrayList<>();
    List<Site> sites = new ArrayList<>();
    for (Path file : siteFiles) {
      try {
        sites.add(SiteReader.read(file));
      } catch (InputException e) {
        problems.addAll(e.problems());
      }
    }
    if (!problems.isEmpty()) {
      throw new InputException(problems);
    }
    return sites;
  }

  private void refuseForSeveral(List<Site> sites) {
    Set<String> ids = new TreeSet<>();
    for (Site site : sites) {
      if (!ids.add(site.id())) {
        throw new IllegalArgumentException(
            "--site: found two sites with the id "
                + site.id()
                + "; allowed is each id once, since it names a site's topics and its journal. Change"
                + " one of them.");
      }
    }
    if (sites.size() > 1 && lockstep) {
      throw new IllegalArgumentException(
          "--site: found "
              + sites.size()
              + " sites beside --lockstep; allowed is one site then. Start a process for each.");
    }
  }

  private SiteShift shift(Site site, Path file, boolean several, Executor thinker)
      throws IOException {
    Path named = journalFolder;
    Path folder =
        named.toString().isEmpty()
            ? Path.of("journal", site.id())
            : several ? named.resolve(site.id()) : named;
    try {
      return new SiteShift(
          site,
          file,
          folder,
          several ? site.id() + ": " : "",
          thinker,
          spec.commandLine().getOut(),
          spec.commandLine().getErr());
    } catch (IOException e) {
      throw new IOException(
          "The journal in "
              + folder
              + " cannot be used ("
              + e
              + "). Make room or mend permissions, or name another folder with --journal.",
          e);
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

  private int supervise(List<SiteShift> shifts, Access access, MetricsDesk desk)
      throws IOException, InterruptedException {
    Stop stop = new Stop(() -> shifts.forEach(SiteShift::stop));
    int code =
        shifts.size() == 1 ? alone(shifts.get(0), access, desk) : together(shifts, access, desk);
    for (SiteShift shift : shifts) {
      shift.close();
    }
    stop.leaveWith(code);
    return code;
  }

  private int alone(SiteShift shift, Access access, MetricsDesk desk)
      throws IOException, InterruptedException {
    return shift.run(broker, access, observe, desk, this::halt) ? DONE : FAILED;
  }

  /** Each on a thread of its own; when one fails, the others go on. */
  private int together(List<SiteShift> shifts, Access access, MetricsDesk desk)
      throws InterruptedException {
    AtomicBoolean good = new AtomicBoolean(true);
    List<Thread> threads = new ArrayList<>();
    for (SiteShift shift : shifts) {
      Thread thread =
          new Thread(
              () -> {
                try {
                  if (!shift.run(broker, access, observe, desk, this::halt)) {
                    good.set(false);
                  }
                } catch (IOException e) {
                  good.set(false);
                  spec.commandLine().getErr().println(e.getMessage());
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
              },
              "islet-scan");
      threads.add(thread);
      thread.start();
    }
    for (Thread thread : threads) {
      thread.join();
    }
    return good.get() ? DONE : FAILED;
  }

  /** A scan that does not come back holds its site; a fresh process is better than none. */
  private void halt(String sentence) {
    PrintWriter err = spec.commandLine().getErr();
    err.println(sentence);
    err.flush();
    Runtime.getRuntime().halt(FAILED);
  }
}
