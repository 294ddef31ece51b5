package islet.app;

import islet.executive.wall.WallClock;
import islet.metrics.MetricsAddress;
import islet.metrics.Pulse;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.InetSocketAddress;
import java.time.Duration;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Looks whether a running controller, or running devices, work: for a container's health check. */
@Command(
    name = "health",
    mixinStandardHelpOptions = true,
    description = {
      "Asks a controller or devices that run with --metrics, twice, whether they work: the link to"
          + " the broker stands and work goes on in between.",
      "It says nothing of the site: a healthy controller may well be ringing alarms."
    },
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:the link stands and work goes on",
      "1:nobody answers, the link is down, or work stands still",
      "2:the input is wrong"
    })
public final class HealthCommand implements Callable<Integer> {

  private static final int WELL = 0;
  private static final int ILL = 1;
  private static final int BAD_INPUT = 2;

  /** Longer than a second of the devices, a scan, and the age that a page may have. */
  private static final Duration BETWEEN = Duration.ofMillis(1_500);

  @Parameters(
      paramLabel = "[ADDRESS:]PORT",
      description = "what was given to --metrics; without an address on this machine")
  private String metrics = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws InterruptedException {
    PrintWriter err = spec.commandLine().getErr();
    InetSocketAddress address;
    try {
      address = MetricsAddress.parse(metrics);
    } catch (IllegalArgumentException e) {
      err.println(e.getMessage());
      return BAD_INPUT;
    }
    try {
      Pulse before = Pulse.ask(address);
      WallClock.rest(BETWEEN);
      Pulse after = Pulse.ask(address);
      if (!after.linked()) {
        err.println("The link to the broker is down.");
        return ILL;
      }
      if (after.beats() <= before.beats()) {
        err.println("Work stands still: nothing was done in " + BETWEEN.toMillis() + " ms.");
        return ILL;
      }
    } catch (IOException e) {
      err.println("The metrics at " + metrics + " do not tell: " + e.getMessage());
      return ILL;
    }
    spec.commandLine().getOut().println("The link stands and work goes on.");
    return WELL;
  }
}
