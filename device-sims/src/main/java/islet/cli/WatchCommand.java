package islet.cli;

import islet.live.SiteOrScenario;
import islet.live.SurroundingsException;
import islet.live.page.Describer;
import islet.live.page.PageServer;
import islet.live.page.SignIn;
import islet.mqtt.PahoBroker;
import islet.site.Site;
import java.io.IOException;
import java.io.PrintWriter;
import java.net.URI;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/**
 * Serves the page for a site that runs elsewhere: it shows what the wire tells, and asks nothing.
 */
@Command(
    name = "watch",
    mixinStandardHelpOptions = true,
    description = {
      "Serves the live page for a site that runs elsewhere, real or simulated: it shows what devices"
          + " and supervisor tell on the wire, and sends nothing. Runs until Ctrl-C.",
      "An account that may only look on is enough; the page asks for it. What nobody tells at a"
          + " site, such as what the sun would give, is a dash or is left out."
    })
final class WatchCommand implements Callable<Integer> {

  @Parameters(
      arity = "1",
      paramLabel = "SITE",
      description = "the site file (YAML), or a scenario file, whose site it is")
  private Path file = Path.of("");

  @Option(
      names = "--page",
      required = true,
      paramLabel = "PORT",
      description =
          "serves the page at this port of this machine's own address; 0 for one that is free")
  private String page = "";

  @Option(
      names = "--page-broker",
      required = true,
      paramLabel = "URL",
      description =
          "the broker's WebSocket, which the page opens, such as ws://127.0.0.1:9001/mqtt; beyond"
              + " this machine wss://")
  private String broker = "";

  @Option(
      names = "--no-account",
      description = "the broker lets whoever reaches it look on; the page then asks for no account")
  private boolean noAccount;

  @Option(
      names = "--wire-protected-otherwise",
      description =
          "takes a broker beyond this machine without TLS: you say that the wire is protected in"
              + " another way, for example by a tunnel or a network of its own")
  private boolean protectedOtherwise;

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException, SurroundingsException {
    URI webSocket = webSocket();
    int port = PagePort.of(spec.commandLine(), page);
    Site site = SiteOrScenario.read(file).site();
    PrintWriter out = spec.commandLine().getOut();
    SignIn signIn = noAccount ? SignIn.byNothing(broker) : SignIn.byAccount(broker);
    byte[] description = Describer.site(site, signIn);
    try (StopSignal signal = new StopSignal()) {
      CountDownLatch asked = new CountDownLatch(1);
      try (PageServer server =
          PageServer.start(port, webSocket, Map.of("/description.json", () -> description))) {
        signal.stops(asked::countDown);
        out.println(site.name() + ", as the broker at " + broker + " tells it. Nothing is sent.");
        out.println("The page is at " + server.url() + "\nCtrl-C ends.");
        out.flush();
        asked.await();
      } catch (InterruptedException e) {
        // Whoever interrupts wants what Ctrl-C does.
        Thread.currentThread().interrupt();
      }
      signal.leaveWith(Main.PASSED);
    }
    return Main.PASSED;
  }

  private URI webSocket() {
    URI uri =
        PageOptions.webSocket(broker)
            .orElseThrow(
                () ->
                    refused(
                        "\"" + broker + "\"",
                        "the broker's WebSocket, for example ws://127.0.0.1:9001/mqtt, since a"
                            + " browser speaks nothing else"));
    if (!protectedOtherwise
        && PahoBroker.leavesMachine(broker)
        && !PahoBroker.isEncrypted(broker)) {
      throw refused(
          "\"" + broker + "\", which is beyond this machine, without TLS",
          "such a broker by wss://, since whoever listens on the way could read the account. If the"
              + " wire is protected in another way, say so with --wire-protected-otherwise");
    }
    return uri;
  }

  private ParameterException refused(String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), "--page-broker: found " + found + "; allowed is " + allowed + ".");
  }
}
