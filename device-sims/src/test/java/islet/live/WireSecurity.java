package islet.live;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.bench.Inbox;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import islet.mqtt.Secrets;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyStore;
import java.security.cert.CertificateFactory;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BooleanSupplier;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLException;
import javax.net.ssl.SSLSocket;
import javax.net.ssl.TrustManagerFactory;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * Who may connect, and who may write what, asked of every broker in the same words and with the
 * passwords and certificates that the project's own script makes.
 *
 * <p>Judged by what arrives at a client that reads everything; by RFC 8446 (TLS 1.3) as this Java's
 * own implementation and openssl's certificates have it; and by the roles as docs/security.md
 * states them, written down here once more.
 */
@Timeout(120)
abstract class WireSecurity {

  /** What the broker's certificate names; it does not name localhost. */
  protected static final List<String> HOSTS = List.of("127.0.0.1", "broker.example");

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  protected static final PahoSettings SETTINGS = new PahoSettings(5, 3, 0, 100, 200);
  protected static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  /** Tests share a broker, so each has a site and client ids of its own. */
  private static final AtomicInteger TESTS = new AtomicInteger();

  private static final List<String> ROLES =
      List.of("supervisor", "devices", "operator", "viewer", "bench");

  private final String site = "site-" + TESTS.incrementAndGet();
  private final Topics topics = new Topics(site);
  private final List<PahoBroker> clients = new ArrayList<>();

  /** Where the passwords and certificates are. */
  protected abstract Path secrets();

  /** Made by the same script for another site. */
  protected abstract Path othersSecrets();

  /** The port for this machine without TLS. */
  protected abstract int plainPort();

  /** The port with TLS. */
  protected abstract int tlsPort();

  /** The port with TLS that demands a client certificate. */
  protected abstract int certificatePort();

  /** Runs the script that makes passwords and certificates. */
  protected static void makeSecrets(Path folder) throws IOException, InterruptedException {
    boolean installed = Files.isExecutable(Path.of("/usr/bin/openssl"));
    assertFalse(
        !installed && "true".equals(System.getenv("CI")),
        "openssl is missing, and on a build server this test must not be left out.");
    assumeTrue(installed, "openssl is not installed; install the package openssl.");
    List<String> command =
        new ArrayList<>(List.of(script().toString(), "--dir", folder.toString()));
    HOSTS.forEach(host -> command.addAll(List.of("--host", host)));
    command.addAll(List.of("--client", "controller", "--bench", "--live"));
    Path log = folder.resolveSibling(folder.getFileName() + ".log");
    int code =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start()
            .waitFor();
    assertEquals(0, code, () -> read(log));
  }

  protected static Path script() {
    return broker().resolve("make-secrets");
  }

  /** The folder of the broker's settings. */
  protected static Path broker() {
    return Path.of(System.getProperty("islet.root", ".."), "config", "broker").toAbsolutePath();
  }

  private static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      return String.valueOf(e.getMessage());
    }
  }

  @AfterEach
  void leave() {
    clients.forEach(PahoBroker::close);
  }

  private Access access(String role) throws Exception {
    return Access.NONE.as(role, Secrets.password(secrets().resolve(role + ".password")));
  }

  private Access trusting(String role) throws Exception {
    return access(role).trusting(secrets().resolve("ca.crt"));
  }

  private String plain() {
    return "tcp://127.0.0.1:" + plainPort();
  }

  private Port open(String role, String clientId, Message will, Inbox inbox) throws Exception {
    PahoBroker client = new PahoBroker(plain(), SETTINGS.with(access(role)));
    clients.add(client);
    Port port = client.connect(site + "-" + clientId, will, inbox);
    await("the link of " + clientId, port::connected);
    return port;
  }

  /** What has come of this test's own. */
  private List<String> heard(Inbox inbox) {
    return inbox.texts().stream().filter(text -> text.startsWith(site)).toList();
  }

  private Inbox listenToEverything() throws Exception {
    Inbox everything = new Inbox();
    open("viewer", "watcher", NO_WILL, everything).subscribe("islet/#", 1);
    Thread.sleep(200);
    return everything;
  }

  protected static void await(String what, BooleanSupplier condition) throws InterruptedException {
    for (int tries = 0; tries < 3_000 && !condition.getAsBoolean(); tries++) {
      Thread.sleep(10);
    }
    assertTrue(condition.getAsBoolean(), "Within 30 s there was no sign of " + what + ".");
  }

  private Message message(String topic, String text) {
    return Message.of(topic, (site + " " + text).getBytes(StandardCharsets.UTF_8), 1, false);
  }

  private static String refusal(String url, Access access) {
    return String.valueOf(
        assertThrows(
                BrokerUnreachableException.class, () -> PahoBroker.probe(url, access, PATIENCE))
            .getMessage());
  }

  @Test
  void whoIsUnknownCannotConnect() throws Exception {
    assertTrue(refusal(plain(), Access.NONE).contains("takes nobody in without a user"));
    byte[] guess = "guess".getBytes(StandardCharsets.UTF_8);
    for (String user : List.of("supervisor", "nobody")) {
      String told = refusal(plain(), Access.NONE.as(user, guess));
      assertTrue(told.contains("refuses the user \"" + user + "\""), told);
    }
    assertDoesNotThrow(() -> PahoBroker.probe(plain(), access("supervisor"), PATIENCE));
  }

  /** Which roles write a device's topic of one kind, as the document has it. */
  private static Set<String> writers(Device device, Kind kind) {
    if (device == Device.BENCH) {
      return Set.of("bench");
    }
    if (device == Device.SUPERVISOR) {
      return switch (kind) {
        case COMMAND -> Set.of("operator");
        case STEP, MARGIN, LEDGER -> Set.of(); // the bench's
        case TELEMETRY, STATE, ONLINE, ACK, EVENT, ALARM, SCANNED -> Set.of("supervisor");
      };
    }
    return switch (kind) {
      case COMMAND -> Set.of("supervisor");
      case STEP, SCANNED, MARGIN, LEDGER -> Set.of(); // no device takes part in a lockstep
      case TELEMETRY, STATE, ONLINE, ACK, EVENT, ALARM -> Set.of("devices");
    };
  }

  @Test
  void eachRoleWritesItsOwnTopicsAndNoOthers() throws Exception {
    Inbox everything = listenToEverything();
    Set<String> expected = new TreeSet<>();
    for (String role : ROLES) {
      Port port = open(role, "writer-" + role, NO_WILL, new Inbox());
      for (Device device : Device.values()) {
        for (Kind kind : Kind.values()) {
          String text = role + " on " + device + " " + kind;
          port.publish(message(topics.of(device, kind), text));
          if (writers(device, kind).contains(role)) {
            expected.add(site + " " + text);
          }
        }
      }
    }
    await("what is allowed", () -> heard(everything).size() >= expected.size());
    Thread.sleep(300);
    assertEquals(expected, new TreeSet<>(heard(everything)));
    assertEquals(
        7 * 7 + 5,
        expected.size(),
        "each of 7 by 7 topics has one role that writes it; three more belong to the lockstep, two"
            + " to the bench's margins and ledger");
  }

  @Test
  void aLastWillGivesNoOrdersEither() throws Exception {
    Inbox everything = listenToEverything();
    String order = topics.of(Device.TIE, Kind.COMMAND);
    // Another client of the same name makes the broker end the first, which leaves its will.
    connectBriefly("viewer", "dying", message(order, "close"));
    connectBriefly("viewer", "dying", NO_WILL);
    // A control: the same by one who may.
    open("supervisor", "dying-too", message(order, "open"), new Inbox());
    open("supervisor", "dying-too", NO_WILL, new Inbox());
    String allowed = site + " open";
    await("the supervisor's will", () -> heard(everything).contains(allowed));
    assertEquals(Set.of(allowed), Set.copyOf(heard(everything)));
  }

  /** A broker may refuse such a client, or take it in and keep its will to itself. */
  private void connectBriefly(String role, String clientId, Message will) throws Exception {
    PahoBroker client = new PahoBroker(plain(), SETTINGS.with(access(role)));
    clients.add(client);
    var unused = client.connect(site + "-" + clientId, will, new Inbox());
    Thread.sleep(500);
  }

  @Test
  void topicsThatAreNotIsletsAreNobodys() throws Exception {
    Inbox everything = listenToEverything();
    Port supervisor = open("supervisor", "stray", NO_WILL, new Inbox());
    for (String topic :
        List.of(
            "islet/v1/" + site + "/tie/command/more",
            "islet/v1/" + site + "/pump/command",
            "islet/v2/" + site + "/tie/command",
            "islet/v1/tie/command")) {
      supervisor.publish(message(topic, topic));
    }
    supervisor.publish(message(topics.of(Device.TIE, Kind.COMMAND), "proper"));
    await("the proper order", () -> heard(everything).contains(site + " proper"));
    assertEquals(List.of(site + " proper"), heard(everything));
  }

  /** The port's own limit, which both brokers are set to as well. */
  @Test
  void aPayloadAboveTheLimitIsDroppedAndItsSenderStays() throws Exception {
    Inbox everything = listenToEverything();
    String topic = topics.of(Device.SUPERVISOR, Kind.COMMAND);
    String password =
        new String(
            Secrets.password(secrets().resolve("operator.password")), StandardCharsets.UTF_8);
    try (RawClient client = new RawClient(plainPort(), site + "-raw", "operator", password)) {
      String mark = site + " ";
      client.publish(topic, mark + "x".repeat(PahoBroker.PAYLOAD_LIMIT - mark.length() + 1));
      client.publish(topic, mark + "y".repeat(PahoBroker.PAYLOAD_LIMIT - mark.length()));
      client.publish(topic, mark + "last");
      client.flush();
      await("the last message", () -> heard(everything).contains(mark + "last"));
    }
    List<String> heard = heard(everything);
    assertEquals(2, heard.size());
    assertEquals(PahoBroker.PAYLOAD_LIMIT, heard.get(0).length());
  }

  /** What the broker refuses is told in its acknowledgement, which the port counts. */
  @Test
  void thePortCountsWhatTheBrokerRefuses() throws Exception {
    Port viewer = open("viewer", "counted", NO_WILL, new Inbox());
    viewer.publish(message(topics.of(Device.TIE, Kind.COMMAND), "close"));
    await("the refusal", () -> clients.get(0).counts().refused() == 1);
    assertTrue(viewer.connected());
  }

  @Test
  void tlsIsBelievedOnlyFromTheOwnAuthorityAndUnderTheRightName() throws Exception {
    String url = "ssl://127.0.0.1:" + tlsPort();
    assertDoesNotThrow(() -> PahoBroker.probe(url, trusting("viewer"), PATIENCE));
    Access other = access("viewer").trusting(othersSecrets().resolve("ca.crt"));
    assertTrue(refusal(url, other).contains("no agreement on TLS 1.3"));
    // This Java's own authorities know nothing of ours.
    assertTrue(refusal(url, access("viewer")).contains("no agreement on TLS 1.3"));
    String wrongName = "ssl://localhost:" + tlsPort();
    assertTrue(refusal(wrongName, trusting("viewer")).contains("no agreement on TLS 1.3"));
    // TLS says who the broker is, not who the client is.
    assertTrue(
        refusal(url, Access.NONE.trusting(secrets().resolve("ca.crt")))
            .contains("takes nobody in without a user"));
  }

  @Test
  void whatIsOlderThanTls13IsRefused() throws Exception {
    assertEquals("TLSv1.3", handshake("TLSv1.3"));
    assertThrows(SSLException.class, () -> handshake("TLSv1.2"));
  }

  private String handshake(String version) throws Exception {
    KeyStore trusted = KeyStore.getInstance("PKCS12");
    trusted.load(null, null);
    try (InputStream in = Files.newInputStream(secrets().resolve("ca.crt"))) {
      trusted.setCertificateEntry(
          "ca", CertificateFactory.getInstance("X.509").generateCertificate(in));
    }
    TrustManagerFactory trust = TrustManagerFactory.getInstance("PKIX");
    trust.init(trusted);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, trust.getTrustManagers(), null);
    try (SSLSocket socket =
        (SSLSocket) context.getSocketFactory().createSocket("127.0.0.1", tlsPort())) {
      socket.setEnabledProtocols(new String[] {version});
      socket.setSoTimeout(5_000);
      socket.startHandshake();
      return socket.getSession().getProtocol();
    }
  }

  @Test
  void aDemandedClientCertificateMustBeThereAndComeFromTheAuthority() throws Exception {
    String url = "ssl://127.0.0.1:" + certificatePort();
    Access without = trusting("supervisor");
    refusal(url, without);
    Access strangers =
        without.presenting(
            othersSecrets().resolve("controller.crt"), othersSecrets().resolve("controller.key"));
    refusal(url, strangers);
    Access own =
        without.presenting(
            secrets().resolve("controller.crt"), secrets().resolve("controller.key"));
    assertDoesNotThrow(() -> PahoBroker.probe(url, own, PATIENCE));
  }
}
