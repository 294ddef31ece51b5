package islet.live;

import com.hivemq.embedded.EmbeddedHiveMQ;
import java.io.IOException;
import java.net.BindException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.UnknownHostException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.concurrent.CompletionException;
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

  /** So many ports are tried before a start counts as failed. */
  private static final int MOST_PORTS = 3;

  private static final String ADDRESS = "127.0.0.1";
  private static final long START_LIMIT_SECONDS = 30;
  private static final long STOP_LIMIT_SECONDS = 15;

  private final EmbeddedHiveMQ broker;
  private final Path folder;
  private final Listeners listeners;

  private EmbeddedBroker(EmbeddedHiveMQ broker, Path folder, Listeners listeners) {
    this.broker = broker;
    this.folder = folder;
    this.listeners = listeners;
  }

  /**
   * Starts a broker on a port that is free at the moment.
   *
   * @throws SurroundingsException with a sentence when it cannot start
   */
  public static EmbeddedBroker start() throws SurroundingsException {
    for (int attempt = 1; attempt < MOST_PORTS; attempt++) {
      try {
        return start(freePort());
      } catch (SurroundingsException e) {
        // Between finding a port free and taking it, another program may have been quicker.
        LOG.info("the broker's free port was taken meanwhile; trying another: {}", e.getMessage());
      }
    }
    return start(freePort());
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
   * Starts a broker.
   *
   * @throws SurroundingsException with a sentence when a port is taken or it cannot start
   */
  public static EmbeddedBroker start(Listeners listeners) throws SurroundingsException {
    for (int port : listeners.ports()) {
      insistOnFree(port);
    }
    Path folder = prepareFolder(listeners);
    EmbeddedHiveMQ broker =
        EmbeddedHiveMQ.builder()
            .withConfigurationFolder(folder.resolve("conf"))
            .withDataFolder(folder.resolve("data"))
            .withExtensionsFolder(folder.resolve("extensions"))
            .withoutLoggingBootstrap()
            .build();
    EmbeddedBroker started = new EmbeddedBroker(broker, folder, listeners);
    try {
      broker.start().get(START_LIMIT_SECONDS, TimeUnit.SECONDS);
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

  /** Its TCP port. */
  public int port() {
    return listeners.tcpPort();
  }

  /** Where it listens. */
  public Listeners listeners() {
    return listeners;
  }

  /** Where it keeps its files while it runs. */
  Path folder() {
    return folder;
  }

  /** Stops it, which takes some seconds, and removes its folders. */
  @Override
  public void close() {
    try {
      broker.stop().get(STOP_LIMIT_SECONDS, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (ExecutionException | CompletionException | TimeoutException e) {
      LOG.warn("The embedded broker did not stop in good order.", e);
    }
    removeFolder(folder);
  }

  private static InetAddress loopback() throws UnknownHostException {
    return InetAddress.getByAddress(new byte[] {127, 0, 0, 1});
  }

  static int freePort() throws SurroundingsException {
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

  private static Path prepareFolder(Listeners listeners) throws SurroundingsException {
    try {
      Path folder = Files.createTempDirectory("islet-broker-");
      for (String name : new String[] {"conf", "data", "extensions"}) {
        Files.createDirectory(folder.resolve(name));
      }
      Files.writeString(folder.resolve("conf").resolve("config.xml"), configuration(listeners));
      return folder;
    } catch (IOException e) {
      throw new SurroundingsException(
          "No temporary folder could be made for the embedded broker (" + e.getMessage() + ").", e);
    }
  }

  private static String configuration(Listeners listeners) {
    return """
        <?xml version="1.0"?>
        <hivemq>
          <listeners>
            %s
          </listeners>
          <mqtt>
            <receive-maximum>
              <server-receive-maximum>1000</server-receive-maximum>
            </receive-maximum>
          </mqtt>
          <persistence>
            <mode>in-memory</mode>
          </persistence>
          <anonymous-usage-statistics>
            <enabled>false</enabled>
          </anonymous-usage-statistics>
        </hivemq>
        """
        .formatted(listeners.elements(ADDRESS));
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
