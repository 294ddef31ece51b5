package islet.cli;

import islet.app.BrokerOptions;
import islet.bench.EventLog;
import islet.bench.RunFolderException;
import islet.bench.Scenario;
import islet.contract.Device;
import islet.contract.IsoTime;
import islet.live.DevicesPage;
import islet.live.DevicesRun;
import islet.live.SiteOrScenario;
import islet.live.SurroundingsException;
import islet.metrics.MetricsAddress;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Collection;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Runs the simulated devices alone, so that any controller can be put on the bench. */
@Command(
    name = "devices",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a site's simulated devices alone over MQTT, by the wall clock, until Ctrl-C.",
      "The supervisor is another process: ./islet controller, or your own in any language.",
      "With --lockstep it plays a scenario at the controller's own pace, judges it as a rehearsal"
          + " does, and leaves with its exit code."
    },
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:ended in good order; in lockstep: passed",
      "1:in lockstep: a verdict failed, or the controller stopped answering",
      "2:the input is wrong; nothing was written",
      "3:the surroundings are wrong: broker unreachable, no controller came"
    })
final class DevicesCommand implements Callable<Integer> {

  private static final Duration PROBE = Duration.ofSeconds(5);

  @Option(
      names = "--site",
      required = true,
      paramLabel = "SITE",
      description =
          "the site file (YAML), or a scenario file: its events count from the start of this"
              + " command, its date does not count; with --lockstep a scenario file")
  private Path file = Path.of("");

  @Option(
      names = "--broker",
      paramLabel = "URL",
      description =
          "an MQTT 5 broker that runs already, such as tcp://127.0.0.1:1883 or, beyond this"
              + " machine, ssl://broker.example:8883 with --user; with --lockstep one in this process"
              + " when none is named")
  private String broker = "";

  @Mixin private final BrokerOptions account = new BrokerOptions();

  @Option(
      names = "--without",
      paramLabel = "DEVICE",
      description =
          "leaves a device off the wire, since somebody else's speaks in its place; its part of the"
              + " plant goes on by its own settings. May be repeated")
  private List<String> without = List.of();

  @Option(
      names = "--metrics",
      paramLabel = "[ADDRESS:]PORT",
      description =
          "offers what islet health asks for at this port, path /metrics; without an address only"
              + " to this machine")
  private String metrics = "";

  @Mixin private final LockstepOptions lockstep = new LockstepOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call()
      throws BrokerUnreachableException, SurroundingsException, RunFolderException, IOException {
    Set<Device> absent = absent();
    Optional<InetSocketAddress> metricsAt = metricsAt();
    if (!lockstep.asked()) {
      lockstep.refuseAlone(spec);
      if (broker.isEmpty()) {
        throw new ParameterException(
            spec.commandLine(),
            "--broker: found none; allowed is the address of a broker, for example"
                + " tcp://127.0.0.1:1883. Only with --lockstep may it be left out.");
      }
    }
    Access access = Access.NONE;
    if (broker.isEmpty()) {
      account.insistOnNone();
    } else {
      access = account.access(broker);
    }
    if (lockstep.asked()) {
      return lockstep.play(spec, file, broker, access);
    }
    Scenario scenario = SiteOrScenario.beginningNow(file);
    DevicesRun.insistOnPlayable(scenario);
    insistOnParts(scenario, absent);
    PahoBroker.probe(broker, access, PROBE);
    PrintWriter print = spec.commandLine().getOut();
    try (StopSignal signal = new StopSignal()) {
      try (DevicesPage page = DevicesPage.at(metricsAt);
          DevicesRun run =
              new DevicesRun(scenario, broker, access, absent, row -> print.println(line(row)))) {
        signal.stops(run::stop);
        page.answerFor(run);
        print.println("The devices of " + scenario.site().name() + " speak at " + broker + ".");
        page.url().ifPresent(url -> print.println("Metrics at " + url + "."));
        var unused = run.run();
      }
      signal.leaveWith(Main.PASSED);
      return Main.PASSED;
    }
  }

  private Optional<InetSocketAddress> metricsAt() {
    if (metrics.isEmpty()) {
      return Optional.empty();
    }
    if (lockstep.asked()) {
      throw new ParameterException(
          spec.commandLine(),
          "--metrics: found beside --lockstep; allowed is one of them, since time stands still in"
              + " lockstep while the controller thinks.");
    }
    try {
      return Optional.of(MetricsAddress.parse(metrics));
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), e.getMessage(), e);
    }
  }

  private Set<Device> absent() {
    Set<Device> absent = EnumSet.noneOf(Device.class);
    for (String name : without) {
      Device device =
          DevicesRun.DEVICES.stream()
              .filter(known -> known.segment().equals(name))
              .findFirst()
              .orElseThrow(() -> refused(name, "one of " + names(DevicesRun.DEVICES)));
      if (lockstep.asked()) {
        throw refused(name, "nothing with --lockstep, in which only the controller is outside");
      }
      absent.add(device);
    }
    return absent;
  }

  private void insistOnParts(Scenario scenario, Set<Device> absent) {
    for (Device device : absent) {
      if (!DevicesRun.partsOf(scenario.site()).contains(device)) {
        throw refused(
            device.segment(), "what the site has: " + names(DevicesRun.partsOf(scenario.site())));
      }
    }
  }

  private static String names(Collection<Device> devices) {
    return devices.stream().map(Device::segment).collect(Collectors.joining(", "));
  }

  private ParameterException refused(String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), "--without: found \"" + found + "\"; allowed is " + allowed + ".");
  }

  private static String line(EventLog.Row row) {
    String change =
        row.from().isEmpty() || row.to().isEmpty()
            ? row.from() + row.to()
            : row.from() + " → " + row.to();
    String reason = row.reason().isEmpty() ? "" : ": " + row.reason();
    return IsoTime.text(row.micros())
        + "  "
        + row.source()
        + " "
        + row.kind()
        + " "
        + change
        + reason;
  }
}
