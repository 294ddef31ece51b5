package islet.cli;

import islet.app.BrokerOptions;
import islet.bench.EventLog;
import islet.bench.Scenario;
import islet.contract.IsoTime;
import islet.live.DevicesRun;
import islet.live.SiteOrScenario;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Runs the simulated devices alone, so that any controller can be put on the bench. */
@Command(
    name = "devices",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a site's simulated devices alone over MQTT, by the wall clock, until Ctrl-C.",
      "The supervisor is another process: ./islet controller, or your own in any language."
    })
final class DevicesCommand implements Callable<Integer> {

  private static final Duration PROBE = Duration.ofSeconds(5);

  @Option(
      names = "--site",
      required = true,
      paramLabel = "SITE",
      description = "the site file (YAML)")
  private Path file = Path.of("");

  @Option(
      names = "--broker",
      required = true,
      paramLabel = "URL",
      description =
          "an MQTT 5 broker that runs already, such as tcp://127.0.0.1:1883 or, beyond this"
              + " machine, ssl://broker.example:8883 with --user")
  private String broker = "";

  @Mixin private final BrokerOptions account = new BrokerOptions();

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws BrokerUnreachableException {
    Access access = account.access(broker);
    Scenario scenario = SiteOrScenario.alone(file);
    PahoBroker.probe(broker, access, PROBE);
    PrintWriter print = spec.commandLine().getOut();
    try (StopSignal signal = new StopSignal()) {
      try (DevicesRun run =
          new DevicesRun(scenario, broker, access, row -> print.println(line(row)))) {
        signal.stops(run::stop);
        print.println("The devices of " + scenario.site().name() + " speak at " + broker + ".");
        var unused = run.run();
      }
      signal.leaveWith(Main.PASSED);
      return Main.PASSED;
    }
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
