package islet.mqtt;

import islet.contract.Message;
import islet.contract.Port;
import java.time.Duration;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.DoubleSupplier;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * Ports to a real MQTT 5 broker.
 *
 * <p>Each port has one thread of its own, on which everything about its link happens. The client
 * library's threads put work in that thread's queue and never wait; only on a standing link, when
 * no message waits, do they hand the next to the listener themselves, one at a time and in their
 * order. Otherwise messages wait in a {@link islet.contract.Mailbox}, bounded as a whole and for
 * each topic; what does not fit is dropped and counted.
 *
 * <p>A port comes back by itself, with exponential back-off. Each attempt uses a new client of the
 * library, and the old one is thrown away with its socket, since a client that hangs in
 * "connecting" never recovers. The first connection starts clean; later ones resume the session, so
 * that QoS 1 messages kept by the broker arrive, and ask for subscriptions again in case the broker
 * forgot.
 *
 * <p>A port whose place is taken by another client with the same id stays away, if the broker says
 * why it closed the connection (3.1.4 asks for reason code 0x8E). Some brokers close without a
 * word; then two such clients throw each other out, ever more slowly as their back-off grows.
 *
 * <p>Against the letter of OASIS MQTT Version 5.0, 4.4 (from memory), QoS 1 messages that were not
 * acknowledged when the link was lost are not sent again but counted: old orders must not arrive
 * late.
 */
public final class PahoBroker implements Port.Broker, AutoCloseable {

  /** The largest payload that goes in or out, in bytes. Islet's messages have a few hundred. */
  public static final int PAYLOAD_LIMIT = 64 * 1024;

  /** Room for topic and properties beside the payload, in bytes. */
  static final int PACKET_OVERHEAD = 4 * 1024;

  /** Messages that may wait for one port's listener: some minutes of a site's traffic. */
  static final int INBOUND_LIMIT = 10_000;

  /** Of these, messages of one topic. */
  static final int TOPIC_LIMIT = 2_000;

  private static final Duration FAREWELL = Duration.ofSeconds(3);

  /**
   * What did not get through since the start.
   *
   * @param unsent published while the link was down, or refused by the client library
   * @param unacknowledged QoS 1 messages under way when the link was lost
   * @param oversized with a payload above {@link #PAYLOAD_LIMIT}, in or out
   * @param overflow come in while the listener was too far behind
   * @param failed come in, but the listener threw
   * @param refused sent, but the broker refused them, since they are not the account's to write or
   *     too large for it
   * @param strange come in on topics that mean nothing to the listener
   */
  public record Counts(
      long unsent,
      long unacknowledged,
      long oversized,
      long overflow,
      long failed,
      long refused,
      long strange) {}

  private final BrokerUrl url;
  private final PahoSettings settings;
  private final DoubleSupplier chance;
  private final Drops drops = new Drops();
  private final List<PahoPort> ports = new CopyOnWriteArrayList<>();

  /**
   * Names a broker; nothing is connected yet.
   *
   * @param url such as {@code tcp://host:port}
   * @throws IllegalArgumentException with a sentence when this is no such address
   */
  public PahoBroker(String url, PahoSettings settings) {
    this(url, settings, seeded(url));
  }

  /**
   * Names a broker.
   *
   * @param chance spreads the pauses before reconnecting: numbers from 0 (included) to 1
   *     (excluded), asked for by several threads
   * @throws IllegalArgumentException with a sentence when the address is none
   */
  public PahoBroker(String url, PahoSettings settings, DoubleSupplier chance) {
    this.url = BrokerUrl.parse(url);
    this.settings = settings;
    this.chance = chance;
  }

  /** Whether a text is the address of a broker, whoever may listen there. */
  public static boolean isAddress(String text) {
    try {
      return !BrokerUrl.parse(text).host().isEmpty();
    } catch (IllegalArgumentException e) {
      return false;
    }
  }

  /**
   * Whether what is sent to a broker leaves this machine.
   *
   * @throws IllegalArgumentException with a sentence when this is no address of a broker
   */
  public static boolean leavesMachine(String url) {
    return !BrokerUrl.parse(url).isLoopback();
  }

  /**
   * Whether what is sent to a broker is encrypted on its way.
   *
   * @throws IllegalArgumentException with a sentence when this is no address of a broker
   */
  public static boolean isEncrypted(String url) {
    return BrokerUrl.parse(url).transport().encrypted();
  }

  /**
   * Finds out whether an MQTT 5 broker answers somebody who says nothing of himself.
   *
   * @param url such as {@code tcp://host:port}
   * @param timeout how long to wait, at least 1 ms
   * @throws BrokerUnreachableException with a sentence, when the address is none or nobody answers
   */
  public static void probe(String url, Duration timeout) throws BrokerUnreachableException {
    probe(url, Access.NONE, timeout);
  }

  /**
   * Finds out whether an MQTT 5 broker answers and takes a client in.
   *
   * @param url such as {@code tcp://host:port}
   * @param timeout how long to wait, at least 1 ms
   * @throws BrokerUnreachableException with a sentence, when the address is none, nobody answers or
   *     the client is refused
   */
  public static void probe(String url, Access access, Duration timeout)
      throws BrokerUnreachableException {
    BrokerUrl address;
    try {
      address = BrokerUrl.parse(url);
    } catch (IllegalArgumentException e) {
      throw new BrokerUnreachableException(String.valueOf(e.getMessage()), e);
    }
    Sockets sockets = new Sockets();
    try {
      // The process id keeps two probes at one broker from taking each other's place.
      String clientId = "islet-probe-" + ProcessHandle.current().pid();
      MqttAsyncClient client =
          new MqttAsyncClient(address.forPaho(), clientId, new MemoryPersistence());
      MqttConnectionOptions options = new MqttConnectionOptions();
      options.setCleanStart(true);
      options.setAutomaticReconnect(false);
      options.setConnectionTimeout((int) Math.max(1, timeout.toSeconds()));
      identify(options, sockets, address, access);
      IMqttToken token = client.connect(options);
      token.waitForCompletion(Math.max(1, timeout.toMillis()));
      client.disconnect().waitForCompletion(Math.max(1, timeout.toMillis()));
      client.close();
    } catch (MqttException e) {
      if (Refusal.of(e).isPresent()) {
        throw new BrokerUnreachableException(
            "The broker at " + address + " " + Refusal.of(e).get().sentence(access), e);
      }
      throw new BrokerUnreachableException(
          "No MQTT 5 broker answers at "
              + address
              + " within "
              + timeout.toMillis()
              + " ms ("
              + reason(e)
              + "). Start one there or name another with --broker.",
          e);
    } finally {
      sockets.close();
    }
  }

  @Override
  public Port connect(String clientId, Message will, Port.Listener listener) {
    BackOff backOff =
        new BackOff(settings.firstRetryMillis(), settings.longestRetryMillis(), chance);
    PahoPort port = new PahoPort(url, settings, clientId, will, listener, backOff, drops);
    ports.add(port);
    port.open();
    return port;
  }

  /** What did not get through so far, over all ports. */
  public Counts counts() {
    return drops.counts();
  }

  /** Closes all ports and waits, up to 3 s, until they have said farewell. */
  @Override
  public void close() {
    for (PahoPort port : ports) {
      port.close();
    }
    for (PahoPort port : ports) {
      port.awaitClosed(FAREWELL);
    }
  }

  /** Puts in what the client shows the broker. */
  static void identify(
      MqttConnectionOptions options, Sockets sockets, BrokerUrl url, Access access) {
    options.setSocketFactory(sockets.factory(url.transport(), access));
    if (!access.user().isEmpty()) {
      options.setUserName(access.user());
      options.setPassword(access.password());
    }
  }

  static String reason(MqttException e) {
    Throwable cause = e.getCause() == null ? e : e.getCause();
    String text = cause.getMessage();
    return text == null || text.isBlank()
        ? cause.getClass().getSimpleName() + ", reason code " + e.getReasonCode()
        : text;
  }

  private static DoubleSupplier seeded(String seed) {
    SplittableRandom random = new SplittableRandom(seed.hashCode());
    return () -> {
      synchronized (random) {
        return random.nextDouble();
      }
    };
  }
}
