package islet.cli;

import islet.app.BrokerOptions;
import islet.bench.Judges;
import islet.bench.Rearranged;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.RunRecord;
import islet.bench.Scenario;
import islet.bench.Timing;
import islet.bench.plug.Supervisors;
import islet.bench.report.Report;
import islet.contract.Decimal;
import islet.control.SupervisorMaker;
import islet.live.EmbeddedBroker;
import islet.live.LinkBudget;
import islet.live.LiveRun;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SiteOrScenario;
import islet.live.SurroundingsException;
import islet.live.page.SignIn;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.site.Section;
import islet.site.Site;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Runs a scenario or a site by the wall clock over real MQTT. */
@Command(
    name = "live",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a scenario by the wall clock over real MQTT, tells what happens as it happens, and"
          + " prints the verdict.",
      "A site alone runs from now on with a steady utility under a clear sky until Ctrl-C.",
      "Ctrl-C ends a run in good order; what has run by then is judged."
    })
final class LiveCommand implements Callable<Integer> {

  /** Registered for MQTT without TLS: OASIS MQTT Version 5.0, 4.2, from memory. */
  private static final int USUAL_PORT = 1883;

  private static final double HIGHEST_SPEED = 1e6;

  private static final Duration PROBE = Duration.ofSeconds(5);

  @Parameters(
      arity = "1",
      paramLabel = "SITE_OR_SCENARIO",
      description = "a scenario file or a site file (YAML)")
  private Path file = Path.of("");

  @Option(
      names = "--speed",
      paramLabel = "X",
      description =
          "site seconds in a second on the wall, above 0 to 1000000 (default: ${DEFAULT-VALUE});"
              + " a run that is too fast for machine or link falls behind, says so, and skips"
              + " nothing",
      defaultValue = "1")
  private String speed = "1";

  @Option(
      names = "--broker",
      paramLabel = "URL",
      description =
          "an MQTT 5 broker that runs already, such as tcp://127.0.0.1:1883 (default: one in this"
              + " process, reachable from this machine only)")
  private String broker = "";

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "the run folder (default: none is written)")
  private Path out = Path.of("");

  @Mixin private final BrokerOptions account = new BrokerOptions();

  @Mixin private final EmbeddedBrokerOptions embedding = new EmbeddedBrokerOptions();

  @Mixin private final PageOptions page = new PageOptions();

  @Mixin private final SupervisorOptions supervisors = new SupervisorOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  private SupervisorMaker maker = Supervisors.OWN;

  @Override
  public Integer call()
      throws RunFolderException, IOException, SurroundingsException, BrokerUnreachableException {
    double siteSpeed = speed();
    Access access = Access.NONE;
    if (broker.isEmpty()) {
      account.insistOnNone();
      embedding.check();
    } else {
      embedding.insistOnNone();
      access = account.access(broker);
    }
    page.check(broker);
    Scenario scenario = SiteOrScenario.read(file);
    LiveRun.insistOnPlayable(scenario);
    maker = supervisors.chosen(spec);
    LiveSession.Present present = present(scenario);
    if (isWanted(out)) {
      for (Path folder : LivePage.folders(out, present)) {
        RunFolder.check(folder);
      }
    }
    try (StopSignal signal = new StopSignal()) {
      int code;
      if (broker.isEmpty()) {
        try (EmbeddedBroker embedded =
            page.wanted() ? embedding.startForPage() : embedding.start()) {
          SignIn signIn = embedding.signIn(embedded);
          code = run(present, siteSpeed, embedded.url(), embedding.ownAccess(), signIn, signal);
        }
      } else {
        PahoBroker.probe(broker, access, PROBE);
        SignIn signIn =
            page.wanted() ? page.elsewhere(!access.user().isEmpty()) : SignIn.byNothing(broker);
        code = run(present, siteSpeed, broker, access, signIn, signal);
      }
      signal.leaveWith(code);
      return code;
    }
  }

  /** What is played first, at one site or at two. */
  private LiveSession.Present present(Scenario scenario) {
    Optional<Rearranged> beside = page.beside().map(site -> site.of(scenario));
    beside.map(Rearranged::scenario).ifPresent(LiveRun::insistOnPlayable);
    return new LiveSession.Present(1, Repertoire.nameOf(file), scenario, beside);
  }

  private double speed() {
    double value;
    try {
      value = Double.parseDouble(speed);
    } catch (NumberFormatException e) {
      value = Double.NaN;
    }
    if (value > 0 && value <= HIGHEST_SPEED) {
      return value;
    }
    throw refused("--speed", speed, "a number above 0 and at most 1000000, for example 60");
  }

  private ParameterException refused(String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found \"" + found + "\"; allowed is " + allowed + ".");
  }

  private static boolean isWanted(Path folder) {
    return !folder.toString().isEmpty();
  }

  private int run(
      LiveSession.Present present,
      double siteSpeed,
      String url,
      Access access,
      SignIn signIn,
      StopSignal signal)
      throws SurroundingsException, RunFolderException, IOException {
    Scenario scenario = present.scenario();
    PrintWriter print = spec.commandLine().getOut();
    LinkBudget budget = LinkBudget.of(scenario.site());
    announce(print, scenario, siteSpeed, url);
    present.beside().ifPresent(beside -> announceBeside(print, present.sites(), beside));
    if (page.wanted()) {
      return new LivePage(print, spec.commandLine().getErr(), out)
          .run(
              present,
              page.beside(),
              new Repertoire(file),
              maker,
              url,
              access,
              siteSpeed,
              page.port(),
              signIn,
              signal);
    }
    LiveTeller teller =
        new LiveTeller(print, spec.commandLine().getErr(), scenario.site().place().zone(), budget);
    long begun = System.nanoTime();
    Judges judges;
    long steps;
    try (teller;
        LiveRun run = new LiveRun(scenario, maker, url, access, siteSpeed, teller::hear)) {
      signal.stops(run::stop);
      teller.follow(run);
      judges = run.run();
      steps = run.steps();
      teller.close();
      account(print, scenario, run);
    }
    double wall = (System.nanoTime() - begun) * 1e-9;
    RunRecord record = judges.record(Version.text());
    if (isWanted(out)) {
      RunFolder.write(out, record, new Timing(wall, steps), Report::html);
      print.print(VerdictText.of(record.result(), out));
    } else {
      print.print(VerdictText.of(record.result()));
    }
    print.flush();
    return record.result().passed() ? Main.PASSED : Main.FAILED;
  }

  private void announce(PrintWriter print, Scenario scenario, double siteSpeed, String url) {
    URI address = URI.create(url);
    int listens = address.getPort() < 0 ? USUAL_PORT : address.getPort();
    String begins =
        DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss")
            .format(
                Instant.ofEpochSecond(scenario.startMicros() / 1_000_000)
                    .atZone(scenario.site().place().zone()));
    print.println(
        scenario.title() + ", from " + begins + " at the site, " + span(scenario, siteSpeed));
    if (SiteOrScenario.isAlone(scenario)) {
      print.println(
          "Nothing happens but the course of the day: clear sky, "
              + Decimal.text(SiteOrScenario.TEMPERATURE_C, 0)
              + " °C, battery at "
              + Decimal.text(SiteOrScenario.INITIAL_SOC * 100, 0)
              + " % at the start.");
    }
    print.println("Broker at " + url + ". To listen:");
    print.println(
        "  mosquitto_sub -h " + address.getHost() + " -p " + listens + " -t 'islet/#' -v");
    embedding.announce(print);
    print.println();
  }

  /** Which letter stands for which site, and what the second one goes without. */
  private static void announceBeside(PrintWriter print, List<Scenario> sites, Rearranged beside) {
    for (int i = 0; i < sites.size(); i++) {
      Site site = sites.get(i).site();
      print.println(
          LiveTeller.letter(i)
              + " is "
              + site.name()
              + " ("
              + Section.word(site.arrangement())
              + "), islet/v1/"
              + site.id()
              + "/#");
    }
    beside.leftOut().forEach(print::println);
    print.println();
  }

  private static String span(Scenario scenario, double siteSpeed) {
    String atSpeed = "at speed " + Decimal.text(siteSpeed, 3);
    if (SiteOrScenario.isAlone(scenario)) {
      return "until Ctrl-C, " + atSpeed;
    }
    double seconds = scenario.durationMicros() / 1e6;
    return lasting(seconds) + " " + atSpeed + ": " + lasting(seconds / siteSpeed) + " on the wall";
  }

  private static String lasting(double seconds) {
    if (seconds >= 7_200) {
      return Decimal.text(seconds / 3_600, 1) + " h";
    }
    return seconds >= 120
        ? Decimal.text(seconds / 60, 1) + " min"
        : Decimal.text(seconds, 1) + " s";
  }

  /** How well speed and scenario were kept. */
  private static void account(PrintWriter print, Scenario scenario, LiveRun run) {
    long ran = run.now() - scenario.startMicros();
    if (ran < scenario.durationMicros()) {
      print.println(
          "Stopped after "
              + Decimal.text(ran / 1e6, 1)
              + " s of site time. What had its time by then is judged below, the rest is not.");
    }
    double slowestS = run.delay().worstS();
    print.println(
        "\nAt worst the run was "
            + Decimal.text(run.lag().worstSeconds(), 3)
            + " s of site time behind the wall clock, and a message took "
            + Decimal.text(slowestS, 3)
            + " s of it. Messages dropped: "
            + run.dropped()
            + ".\n");
  }
}
