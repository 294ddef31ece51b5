package islet.cli;

import islet.live.BesideSite;
import islet.live.page.SignIn;
import java.net.URI;
import java.net.URISyntaxException;
import java.util.Optional;
import java.util.Set;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Whether the live page is served, where, and which WebSocket it opens. */
final class PageOptions {

  @Option(
      names = "--page",
      paramLabel = "PORT",
      description =
          "serves the live page at this port of this machine's own address; 0 for one that is free."
              + " The run then stays at its end until Ctrl-C, and can be paused, stepped, begun anew"
              + " or exchanged for another from the page")
  private String page = "";

  @Option(
      names = "--page-broker",
      paramLabel = "URL",
      description =
          "beside --page and --broker: the broker's WebSocket, which the page opens, such as"
              + " ws://127.0.0.1:9001/mqtt")
  private String pageBroker = "";

  @Option(
      names = "--beside",
      paramLabel = "ARRANGEMENT_OR_SITE",
      description =
          "with --page: runs the same at a second site beside the first, on one clock, and shows"
              + " both: the same site in another arrangement (such as changeover), or a site's file"
              + " with the same place, loads and utility")
  private String beside = "";

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec = CommandSpec.create();

  /** Whether the page is wanted. */
  boolean wanted() {
    return !page.isEmpty();
  }

  /**
   * Checks both options, before anything is started.
   *
   * @param broker the broker that runs already; empty for the one in this process
   * @throws ParameterException with a sentence when one of them is wrong
   */
  void check(String broker) {
    if (!beside.isEmpty() && (!wanted() || !broker.isEmpty())) {
      throw refused(
          "--beside",
          "\"" + beside + (wanted() ? "\" together with --broker" : "\" without --page"),
          "--beside with --page, over the broker in this process");
    }
    if (!wanted()) {
      if (!pageBroker.isEmpty()) {
        throw refused("--page-broker", "\"" + pageBroker + "\" without --page", "both or none");
      }
      return;
    }
    port();
    if (broker.isEmpty() && !pageBroker.isEmpty()) {
      throw refused(
          "--page-broker",
          "\"" + pageBroker + "\" without --broker",
          "nothing, since the broker in this process has a WebSocket of its own");
    }
    if (!broker.isEmpty()) {
      webSocket();
    }
  }

  /** The site that shall run beside the first one. */
  Optional<BesideSite> beside() {
    return beside.isEmpty() ? Optional.empty() : Optional.of(new BesideSite(beside));
  }

  /** The port; 0 for one that is free. */
  int port() {
    return PagePort.of(spec.commandLine(), page);
  }

  private URI webSocket() {
    return webSocket(pageBroker)
        .orElseThrow(
            () ->
                refused(
                    "--page-broker",
                    pageBroker.isEmpty()
                        ? "nothing beside --page and --broker"
                        : "\"" + pageBroker + "\"",
                    "the broker's WebSocket, for example ws://127.0.0.1:9001/mqtt, since a browser"
                        + " speaks nothing else"));
  }

  /** The address of a WebSocket; empty when the text is none. */
  static Optional<URI> webSocket(String text) {
    try {
      URI uri = new URI(text);
      boolean web =
          Set.of("ws", "wss").contains(String.valueOf(uri.getScheme()))
              && uri.getHost() != null
              && uri.getUserInfo() == null;
      return web ? Optional.of(uri) : Optional.empty();
    } catch (URISyntaxException e) {
      return Optional.empty();
    }
  }

  /**
   * How the page gets to a broker that runs already.
   *
   * @param accounts whether this run itself needs an account there
   */
  SignIn elsewhere(boolean accounts) {
    String url = webSocket().toString();
    return accounts ? SignIn.byAccount(url) : SignIn.byNothing(url);
  }

  private ParameterException refused(String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found " + found + "; allowed is " + allowed + ".");
  }
}
