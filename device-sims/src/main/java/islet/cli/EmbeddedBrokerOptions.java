package islet.cli;

import islet.live.EmbeddedBroker;
import islet.live.Listeners;
import islet.live.SurroundingsException;
import islet.live.TlsListener;
import islet.live.account.Account;
import islet.live.account.Accounts;
import islet.live.account.AccountsFile;
import islet.live.account.Role;
import islet.live.page.SignIn;
import islet.mqtt.Access;
import islet.mqtt.AccessException;
import islet.mqtt.Pem;
import islet.site.InputException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/**
 * Where the broker in this process listens and who may connect. Without options: on this machine's
 * own address, everybody. Beyond this machine it listens with TLS and accounts only.
 */
final class EmbeddedBrokerOptions {

  /** Registered for MQTT without TLS: OASIS MQTT Version 5.0, 4.2, from memory. */
  private static final int USUAL_PORT = 1883;

  private static final int HIGHEST_PORT = 65_535;
  private static final String LOOPBACK = "127.0.0.1";

  /** The run's own clients, which have a secret that only this process knows. */
  private static final String OWN_USER = "islet-live";

  /** The page's, which has a secret that only this process and its page know. */
  private static final String PAGE_USER = "page";

  @Option(
      names = "--port",
      paramLabel = "N",
      description =
          "the TCP port of the broker in this process, on this machine's own address (default:"
              + " 1883, or a free one when that is taken)")
  private String port = "";

  @Option(
      names = "--websocket",
      paramLabel = "N",
      description =
          "the broker in this process also takes MQTT over WebSocket at this port of this machine's"
              + " own address, path /mqtt")
  private String webSocket = "";

  @Option(
      names = "--accounts",
      paramLabel = "FILE",
      description =
          "the broker in this process takes in only who has an account in this file, which the"
              + " account command makes")
  private Path accountsFile = Path.of("");

  @Option(
      names = "--tls",
      paramLabel = "N",
      description =
          "the broker in this process also listens with TLS 1.3 at this port; needs --tls-cert and"
              + " --tls-key")
  private String tls = "";

  @Option(
      names = "--tls-address",
      paramLabel = "ADDRESS",
      description =
          "where --tls listens (default: ${DEFAULT-VALUE}; 0.0.0.0 for every address of this"
              + " machine); beyond this machine only with --accounts",
      defaultValue = LOOPBACK)
  private String tlsAddress = LOOPBACK;

  @Option(
      names = "--tls-cert",
      paramLabel = "FILE",
      description = "the certificate (PEM) of the broker in this process")
  private Path tlsCertificate = Path.of("");

  @Option(
      names = "--tls-key",
      paramLabel = "FILE",
      description = "the private key (PEM) of --tls-cert, which not everybody may read")
  private Path tlsKey = Path.of("");

  @Option(
      names = "--tls-clients",
      paramLabel = "FILE",
      description =
          "demands of clients of --tls a certificate from one of these authorities (PEM), beside"
              + " their account")
  private Path tlsClients = Path.of("");

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec = CommandSpec.create();

  private Optional<Accounts> accounts = Optional.empty();
  private final String ownSecret = Accounts.secret();
  private final String pageSecret = Accounts.secret();
  private int tcpPort;
  private int webSocketPort;
  private List<TlsListener> secure = List.of();

  /**
   * Reads and checks everything, before anything is started.
   *
   * @throws ParameterException with a sentence when an option is wrong
   * @throws InputException when the accounts file is wrong
   */
  void check() {
    tcpPort = number("--port", port);
    webSocketPort = number("--websocket", webSocket);
    int tlsPort = number("--tls", tls);
    Set<Integer> seen = new HashSet<>();
    for (int taken : new int[] {tcpPort, webSocketPort, tlsPort}) {
      if (taken > 0 && !seen.add(taken)) {
        throw refused(
            "--port, --websocket, --tls", "the port " + taken + " twice", "a port for each");
      }
    }
    if (isGiven(accountsFile)) {
      accounts =
          Optional.of(
              AccountsFile.read(accountsFile)
                  .with(
                      new Account(
                          OWN_USER,
                          Set.of(Role.SUPERVISOR, Role.DEVICES, Role.OPERATOR, Role.BENCH),
                          "",
                          Accounts.hashOfSecret(ownSecret))));
    }
    secure = secure(tlsPort);
  }

  private List<TlsListener> secure(int tlsPort) {
    boolean certified = isGiven(tlsCertificate) && isGiven(tlsKey);
    boolean more = isGiven(tlsCertificate) || isGiven(tlsKey) || isGiven(tlsClients);
    boolean elsewhere = !tlsAddress.equals(LOOPBACK);
    if (tlsPort == 0 && !more && !elsewhere) {
      return List.of();
    }
    if (tlsPort == 0 || !certified) {
      throw refused(
          "--tls, --tls-cert, --tls-key",
          "some of the three or what belongs to them",
          "all three or none");
    }
    if (elsewhere && accounts.isEmpty()) {
      throw refused(
          "--tls-address",
          "\"" + tlsAddress + "\" without --accounts",
          LOOPBACK
              + ", or another address beside --accounts, since whoever can write there can"
              + " give orders");
    }
    try {
      // Told now with a sentence, rather than by the broker when it starts.
      var unused = Pem.owned(tlsCertificate, tlsKey, new char[0]);
      if (isGiven(tlsClients)) {
        unused = Pem.trusted(tlsClients);
      }
    } catch (AccessException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
    Optional<Path> clients = isGiven(tlsClients) ? Optional.of(tlsClients) : Optional.empty();
    return List.of(new TlsListener(tlsPort, tlsAddress, tlsCertificate, tlsKey, clients));
  }

  /**
   * Refuses the options of this group beside a broker that runs elsewhere.
   *
   * @throws ParameterException with a sentence when one of them is given
   */
  void insistOnNone() {
    for (String[] option :
        new String[][] {
          {"--port", port},
          {"--websocket", webSocket},
          {"--accounts", accountsFile.toString()},
          {"--tls", tls},
          {"--tls-cert", tlsCertificate.toString()},
          {"--tls-key", tlsKey.toString()},
          {"--tls-clients", tlsClients.toString()}
        }) {
      if (!option[1].isEmpty()) {
        throw refused(
            option[0],
            "\"" + option[1] + "\"",
            "nothing beside --broker, which is set up where it runs");
      }
    }
  }

  /** Starts the broker. */
  EmbeddedBroker start() throws SurroundingsException {
    int chosen = tcpPort;
    if (chosen == 0 && EmbeddedBroker.isFree(USUAL_PORT)) {
      chosen = USUAL_PORT;
    }
    return EmbeddedBroker.start(new Listeners(chosen, webSocketPort, secure), accounts);
  }

  /**
   * Starts the broker with a WebSocket for the page. Without accounts it takes in by WebSocket only
   * who has the page's secret, since any page that a browser of this machine shows can open one.
   */
  EmbeddedBroker startForPage() throws SurroundingsException {
    int chosen = tcpPort;
    if (chosen == 0 && EmbeddedBroker.isFree(USUAL_PORT)) {
      chosen = USUAL_PORT;
    }
    if (webSocketPort == 0) {
      webSocketPort = EmbeddedBroker.freePort();
    }
    Optional<Accounts> browsers =
        accounts.isPresent()
            ? Optional.empty()
            : Optional.of(
                Accounts.of(
                    List.of(
                        new Account(
                            PAGE_USER,
                            Set.of(Role.OPERATOR, Role.BENCH),
                            "",
                            Accounts.hashOfSecret(pageSecret)))));
    return EmbeddedBroker.start(new Listeners(chosen, webSocketPort, secure), accounts, browsers);
  }

  /** How the page gets to the broker that {@link #startForPage} has started. */
  SignIn signIn(EmbeddedBroker broker) {
    return accounts.isPresent()
        ? SignIn.byAccount(broker.webSocketUrl())
        : SignIn.byToken(broker.webSocketUrl(), PAGE_USER, pageSecret);
  }

  /** Who the run's own clients are. */
  Access ownAccess() {
    return accounts.isEmpty()
        ? Access.NONE
        : Access.NONE.as(OWN_USER, ownSecret.getBytes(StandardCharsets.UTF_8));
  }

  /** Says where else it listens and what it takes to connect. */
  void announce(PrintWriter print) {
    if (webSocketPort > 0) {
      print.println(
          "  by WebSocket: ws://" + LOOPBACK + ":" + webSocketPort + Listeners.WEB_SOCKET_PATH);
    }
    for (TlsListener listener : secure) {
      print.println("  by TLS 1.3: port " + listener.port() + " of " + listener.address());
    }
    if (accounts.isPresent()) {
      print.println("  Whoever connects needs an account of " + accountsFile + ".");
    }
  }

  private int number(String option, String text) {
    if (text.isEmpty()) {
      return 0;
    }
    try {
      int value = Integer.parseInt(text);
      if (value >= 1 && value <= HIGHEST_PORT) {
        return value;
      }
    } catch (NumberFormatException e) {
      // Told below.
    }
    throw refused(option, "\"" + text + "\"", "a whole number from 1 to 65535, for example 1883");
  }

  private static boolean isGiven(Path path) {
    return !path.toString().isEmpty();
  }

  private ParameterException refused(String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found " + found + "; allowed is " + allowed + ".");
  }
}
