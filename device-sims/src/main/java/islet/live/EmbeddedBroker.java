package islet.live;

import com.hivemq.embedded.EmbeddedHiveMQ;
import islet.live.account.Accounts;
import islet.live.account.Gatekeeper;
import islet.mqtt.AccessException;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.io.IOException;
import java.net.BindException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.UnknownHostException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * An MQTT 5 broker inside this process, reachable from this machine only. It keeps everything in
 * memory and its folders are gone when it has stopped.
 */
public final class EmbeddedBroker implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(EmbeddedBroker.class);

  /**
   * Two that start at once in one process could take each other's gatekeeper, as was seen: a
   * gatekeeper finds its broker's registries in the library's static {@code Services}, which all
   * brokers of a process share.
   */
  private static final Object ONE_AT_A_TIME = new Object();

  /** So many ports are tried before a start counts as failed. */
  private static final int MOST_PORTS = 3;

  private static final String ADDRESS = "127.0.0.1";

  /** Above this a sender is disconnected; between the payload limit and this it is only ignored. */
  private static final int PACKET_LIMIT = 1024 * 1024;

  /** QoS 1 messages kept for a client that is away or slow; more are dropped, the oldest stay. */
  private static final int QUEUE_LIMIT = 1_000;

  private static final Duration SELF_CHECK = Duration.ofSeconds(5);

  private static final long START_LIMIT_SECONDS = 30;
  private static final long STOP_LIMIT_SECONDS = 15;
  private static final long LET_GO_POLL_MILLIS = 2;
  private static final String CONNECTED = "com.hivemq.networking.connections.current";
  private static final String DROPPED = "com.hivemq.messages.dropped.count";

  private final EmbeddedHiveMQ broker;
  private final Path folder;
  private final Listeners listeners;
  private final Gatekeeper gatekeeper;

  private EmbeddedBroker(
      EmbeddedHiveMQ broker, Path folder, Listeners listeners, Gatekeeper gatekeeper) {
    this.broker = broker;
    this.folder = folder;
    this.listeners = listeners;
    this.gatekeeper = gatekeeper;
  }

  /**
   * Starts a broker on a port that is free at the moment.
   *
   * @throws SurroundingsException with a sentence when it cannot start
   */
  public static EmbeddedBroker start() throws SurroundingsException {
    return start(new Listeners(0, 0));
  }

  private static EmbeddedBroker startOnFree(
      Listeners listeners, Optional<Accounts> accounts, Optional<Accounts> browsers)
      throws SurroundingsException {
    for (int attempt = 1; attempt < MOST_PORTS; attempt++) {
      try {
        return start(listeners.withTcpPort(freePort()), accounts, browsers);
      } catch (SurroundingsException e) {
        // Between finding a port free and taking it, another program may have been quicker.
        LOG.info("the broker's free port was taken meanwhile; trying another: {}", e.getMessage());
      }
    }
    return start(listeners.withTcpPort(freePort()), accounts, browsers);
  }

  /**
   * Starts a broker.
   *
   * @param port TCP port, 1 to 65535
   * @throws SurroundingsException with a sentence when the port is taken or it cannot start
   */
  public static EmbeddedBroker start(int port) throws SurroundingsException {
    return start(new Listeners(port, 0));
  }

  /**
   * Starts a broker that takes everybody in.
   *
   * @throws SurroundingsException with a sentence when a port is taken or it cannot start
   */
  public static EmbeddedBroker start(Listeners listeners) throws SurroundingsException {
    return start(listeners, Optional.empty());
  }

  /**
   * Starts a broker.
   *
   * @param accounts who may connect; empty for everybody
   * @throws SurroundingsException with a sentence when a port is taken or it cannot start
   */
  public static EmbeddedBroker start(Listeners listeners, Optional<Accounts> accounts)
      throws SurroundingsException {
    return start(listeners, accounts, Optional.empty());
  }

  /**
   * Starts a broker.
   *
   * @param accounts who may connect; empty for everybody
   * @param browsers who may connect by WebSocket, in place of {@code accounts}; empty for the same
   * @throws SurroundingsException with a sentence when a port is taken or it cannot start
   */
  public static EmbeddedBroker start(
      Listeners listeners, Optional<Accounts> accounts, Optional<Accounts> browsers)
      throws SurroundingsException {
    if (listeners.tcpPort() == 0) {
      return startOnFree(listeners, accounts, browsers);
    }
    for (int port : listeners.ports()) {
      insistOnFree(port);
    }
    Path folder = prepareFolder(listeners);
    Gatekeeper gatekeeper = new Gatekeeper(accounts, browsers, PahoBroker.PAYLOAD_LIMIT);
    EmbeddedHiveMQ broker =
        EmbeddedHiveMQ.builder()
            .withConfigurationFolder(folder.resolve("conf"))
            .withDataFolder(folder.resolve("data"))
            .withExtensionsFolder(folder.resolve("extensions"))
            .withoutLoggingBootstrap()
            .withEmbeddedExtension(gatekeeper.extension())
            .build();
    EmbeddedBroker started = new EmbeddedBroker(broker, folder, listeners, gatekeeper);
    try {
      synchronized (ONE_AT_A_TIME) {
        broker.start().get(START_LIMIT_SECONDS, TimeUnit.SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      started.close();
      throw new SurroundingsException("The start of the embedded broker was interrupted.", e);
    } catch (ExecutionException | TimeoutException e) {
      started.close();
      throw new SurroundingsException(
          "The embedded broker did not start on "
              + ADDRESS
              + ":"
              + listeners.tcpPort()
              + " ("
              + e.getMessage()
              + "). Name a broker that runs already with --broker.",
          e);
    }
    insistOnListening(started);
    if (accounts.isPresent()) {
      insistOnAccounts(started, started.url());
    }
    if (browsers.isPresent() && listeners.webSocketPort() > 0) {
      insistOnAccounts(started, started.webSocketUrl());
    }
    return started;
  }

  /** Whether a broker could listen on a port of this machine's own address at the moment. */
  public static boolean isFree(int port) {
    try {
      insistOnFree(port);
      return true;
    } catch (SurroundingsException e) {
      LOG.debug("The port {} was looked at.", port, e);
      return false;
    }
  }

  /** Where it is reached. */
  public String url() {
    return "tcp://" + ADDRESS + ":" + listeners.tcpPort();
  }

  /** Where it is reached by WebSocket, when it listens there. */
  public String webSocketUrl() {
    return "ws://" + ADDRESS + ":" + listeners.webSocketPort() + Listeners.WEB_SOCKET_PATH;
  }

  /** Its TCP port. */
  public int port() {
    return listeners.tcpPort();
  }

  /** Where it listens. */
  public Listeners listeners() {
    return listeners;
  }

  /** What it has turned away since its start. From any thread. */
  public Gatekeeper.Counts turnedAway() {
    return gatekeeper.counts();
  }

  /** What it has dropped since its start because a client did not take it. From any thread. */
  public long dropped() {
    return broker.getMetricRegistry().counter(DROPPED).getCount();
  }

  /** Where it keeps its files while it runs. */
  Path folder() {
    return folder;
  }

  /**
   * Stops it and removes its folders. Back as soon as nobody is connected and its ports are free;
   * its threads end by themselves some seconds later, for which there is nothing to wait: what it
   * kept was kept in memory.
   */
  @Override
  public void close() {
    CompletableFuture<Void> stopped = broker.stop();
    long begun = System.nanoTime();
    boolean inTime = true;
    try {
      while (inTime && !stopped.isDone() && !hasLetGo()) {
        Thread.sleep(LET_GO_POLL_MILLIS);
        inTime = System.nanoTime() - begun < TimeUnit.SECONDS.toNanos(STOP_LIMIT_SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    if (!inTime || stopped.isCompletedExceptionally()) {
      LOG.warn("The embedded broker did not stop in good order.");
    }
    removeFolder(folder);
  }

  private boolean hasLetGo() {
    return broker
            .getMetricRegistry()
            .getGauges((name, metric) -> name.equals(CONNECTED))
            .values()
            .stream()
            .noneMatch(clients -> clients.getValue() instanceof Number n && n.intValue() > 0)
        && listeners.ports().stream().allMatch(EmbeddedBroker::isFree);
  }

  private static InetAddress loopback() throws UnknownHostException {
    return InetAddress.getByAddress(new byte[] {127, 0, 0, 1});
  }

  /** A TCP port of this machine's own address that nobody has at the moment. */
  public static int freePort() throws SurroundingsException {
    try (ServerSocket socket = new ServerSocket(0, 1, loopback())) {
      return socket.getLocalPort();
    } catch (IOException e) {
      throw new SurroundingsException("No free TCP port was found on " + ADDRESS + ".", e);
    }
  }

  /** The broker itself would only log that it cannot bind. */
  private static void insistOnFree(int port) throws SurroundingsException {
    try (ServerSocket socket = new ServerSocket()) {
      socket.setReuseAddress(true);
      socket.bind(new InetSocketAddress(loopback(), port));
    } catch (BindException e) {
      throw taken(port, e);
    } catch (IOException | IllegalArgumentException e) {
      throw new SurroundingsException(
          "TCP port " + port + " on " + ADDRESS + " cannot be used (" + e.getMessage() + ").", e);
    }
  }

  private static SurroundingsException taken(int port, Exception cause) {
    return new SurroundingsException(
        "TCP port "
            + port
            + " on "
            + ADDRESS
            + " is taken by another program or not allowed. End that program or choose another"
            + " port.",
        cause);
  }

  private static void insistOnListening(EmbeddedBroker started) throws SurroundingsException {
    for (int port : started.listeners.ports()) {
      try (Socket socket = new Socket()) {
        socket.connect(new InetSocketAddress(loopback(), port), 2_000);
      } catch (IOException e) {
        started.close();
        throw taken(port, e);
      }
    }
  }

  /** A broker that was asked for accounts and lets strangers in must not go on. */
  private static void insistOnAccounts(EmbeddedBroker started, String url)
      throws SurroundingsException {
    started.gatekeeper.beingTried(true);
    try {
      PahoBroker.probe(url, SELF_CHECK);
    } catch (BrokerUnreachableException e) {
      LOG.debug("The embedded broker demands accounts.", e);
      return;
    } finally {
      started.gatekeeper.beingTried(false);
    }
    started.close();
    throw new SurroundingsException(
        "The embedded broker was to demand accounts and let a stranger in, so it was stopped."
            + " Start it again.");
  }

  private static Path prepareFolder(Listeners listeners) throws SurroundingsException {
    Path folder;
    try {
      folder = Files.createTempDirectory("islet-broker-");
    } catch (IOException e) {
      throw noFolder(e);
    }
    try {
      for (String name : new String[] {"conf", "data", "extensions"}) {
        Files.createDirectory(folder.resolve(name));
      }
      Path conf = folder.resolve("conf");
      List<TlsStores> stores = new ArrayList<>();
      for (TlsListener listener : listeners.tls()) {
        stores.add(new TlsStores(listener, conf));
      }
      Files.writeString(conf.resolve("config.xml"), configuration(listeners, stores));
      return folder;
    } catch (AccessException e) {
      removeFolder(folder);
      throw new SurroundingsException(String.valueOf(e.getMessage()), e);
    } catch (IOException e) {
      removeFolder(folder);
      throw noFolder(e);
    }
  }

  private static SurroundingsException noFolder(IOException e) {
    return new SurroundingsException(
        "No temporary folder could be made for the embedded broker (" + e.getMessage() + ").", e);
  }

  private static String configuration(Listeners listeners, List<TlsStores> stores) {
    return """
        <?xml version="1.0"?>
        <hivemq>
          <listeners>
            %s
          </listeners>
          <restrictions>
            <max-client-id-length>256</max-client-id-length>
            <max-topic-length>256</max-topic-length>
          </restrictions>
          <mqtt>
            <receive-maximum>
              <server-receive-maximum>1000</server-receive-maximum>
            </receive-maximum>
            <packets>
              <max-packet-size>%d</max-packet-size>
            </packets>
            <queued-messages>
              <max-queue-size>%d</max-queue-size>
              <strategy>discard</strategy>
            </queued-messages>
          </mqtt>
          <persistence>
            <mode>in-memory</mode>
          </persistence>
          <anonymous-usage-statistics>
            <enabled>false</enabled>
          </anonymous-usage-statistics>
        </hivemq>
        """
        .formatted(listeners.elements(ADDRESS, stores), PACKET_LIMIT, QUEUE_LIMIT);
  }

  private static void removeFolder(Path folder) {
    try (Stream<Path> below = Files.walk(folder)) {
      for (Path path : below.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(path);
      }
    } catch (IOException e) {
      LOG.warn("The temporary folder {} of the embedded broker could not be removed.", folder, e);
    }
  }
}
