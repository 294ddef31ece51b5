package islet.mqtt;

import islet.contract.Mailbox;
import islet.contract.Message;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.OptionalInt;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One client of the library with one socket: from an attempt to connect to its end. Its call-backs
 * run on the library's threads and do nothing but put work in the port's thread.
 */
final class PahoAttempt implements MqttCallback {

  private static final Logger LOG = LoggerFactory.getLogger(PahoAttempt.class);

  /** Session taken over: OASIS MQTT Version 5.0, 3.14.2.1, from memory. */
  private static final int SESSION_TAKEN_OVER = 0x8E;

  /** Reason codes from here on say no: OASIS MQTT Version 5.0, 2.4, from memory. */
  private static final int FIRST_REFUSAL = 0x80;

  private static final int NORMAL_DISCONNECTION = 0x00;

  /** Messages that may wait for the broker's acknowledgements: some seconds of a site's traffic. */
  private static final int OUTBOUND_LIMIT = 1_000;

  private static final int SEND_RETAINED = 0;
  private static final int SEND_RETAINED_IF_NEW = 1;

  private final PahoPort port;
  private final BrokerUrl url;
  private final String clientId;
  private final Sockets sockets = new Sockets();
  private final MqttAsyncClient client;
  private final Mailbox mailbox = new Mailbox(PahoBroker.TOPIC_LIMIT, PahoBroker.INBOUND_LIMIT);
  private final ArrayDeque<Message> outbound = new ArrayDeque<>();

  /** Guarded by the queue, as the queue itself is. */
  private boolean abandoned;

  PahoAttempt(PahoPort port, BrokerUrl url, String clientId) {
    this.port = port;
    this.url = url;
    this.clientId = clientId;
    try {
      client = new MqttAsyncClient(url.forPaho(), clientId, new MemoryPersistence());
    } catch (MqttException e) {
      throw new IllegalArgumentException(
          "The MQTT client library refuses the client id \"" + clientId + "\" at " + url + ".", e);
    }
    client.setCallback(this);
  }

  void start(PahoSettings settings, Message will, boolean cleanStart) throws MqttException {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setAutomaticReconnect(false);
    options.setCleanStart(cleanStart);
    options.setSessionExpiryInterval((long) settings.sessionExpirySeconds());
    options.setKeepAliveInterval(settings.keepAliveSeconds());
    options.setConnectionTimeout(settings.connectSeconds());
    options.setMaximumPacketSize((long) PahoBroker.PAYLOAD_LIMIT + PahoBroker.PACKET_OVERHEAD);
    PahoBroker.identify(options, sockets, url, settings.access());
    if (!will.topic().isEmpty()) {
      MqttMessage last = Translation.toPaho(will);
      options.setWill(will.topic(), last);
    }
    client.connect(
        options,
        this,
        new MqttActionListener() {
          @Override
          public void onSuccess(IMqttToken token) {
            port.run(() -> port.up(PahoAttempt.this));
          }

          @Override
          public void onFailure(IMqttToken token, Throwable cause) {
            gone(String.valueOf(cause.getMessage()), false);
          }
        });
  }

  /**
   * Sends a message, or lets it wait while the broker has as many QoS 1 messages unacknowledged as
   * it wants (OASIS MQTT Version 5.0, 4.9, from memory).
   *
   * @return whether it was taken
   */
  boolean publish(Message message) {
    synchronized (outbound) {
      if (outbound.isEmpty() && send(message)) {
        return true;
      }
      if (abandoned || outbound.size() >= OUTBOUND_LIMIT) {
        return false;
      }
      outbound.add(message);
    }
    port.run(this::sendWaiting);
    return true;
  }

  private void sendWaiting() {
    synchronized (outbound) {
      while (!outbound.isEmpty() && send(outbound.element())) {
        outbound.remove();
      }
    }
  }

  private boolean send(Message message) {
    try {
      client.publish(message.topic(), Translation.toPaho(message));
      return true;
    } catch (MqttException e) {
      LOG.debug("{} could not publish to {} yet.", clientId, message.topic(), e);
      return false;
    }
  }

  /** Lets go of what waits, and says how much it was. */
  int giveUpQueue() {
    synchronized (outbound) {
      abandoned = true;
      int waiting = outbound.size();
      outbound.clear();
      return waiting;
    }
  }

  void subscribe(String filter, int qos, boolean wantRetained) {
    MqttSubscription subscription = new MqttSubscription(filter, qos);
    subscription.setRetainHandling(wantRetained ? SEND_RETAINED : SEND_RETAINED_IF_NEW);
    try {
      client.subscribe(
          new MqttSubscription[] {subscription}, this, toldOf(filter), new MqttProperties());
    } catch (MqttException e) {
      // A link on which nothing can be asked for is no link; a new one asks for everything again.
      gone("subscribing to " + filter + " failed: " + PahoBroker.reason(e), false);
    }
  }

  private MqttActionListener toldOf(String filter) {
    return new MqttActionListener() {
      @Override
      public void onSuccess(IMqttToken token) {
        refusal(token).ifPresent(code -> port.deaf(filter, code));
      }

      @Override
      public void onFailure(IMqttToken token, Throwable cause) {
        // A lost link, which is told elsewhere, or the broker's no.
        refusal(token).ifPresent(code -> port.deaf(filter, code));
      }
    };
  }

  /** Where its messages wait for the listener. */
  Mailbox mailbox() {
    return mailbox;
  }

  /** QoS 1 messages that the broker has not acknowledged. */
  int underWay() {
    return client.getInFlightMessageCount();
  }

  /** Says farewell after what is under way, and ends the session. */
  void farewell(long seconds) {
    MqttProperties properties = new MqttProperties();
    properties.setSessionExpiryInterval(0L);
    MqttActionListener done =
        new MqttActionListener() {
          @Override
          public void onSuccess(IMqttToken token) {
            port.run(port::end);
          }

          @Override
          public void onFailure(IMqttToken token, Throwable cause) {
            port.run(port::end);
          }
        };
    try {
      client.disconnect(seconds * 1_000, this, done, NORMAL_DISCONNECTION, properties);
    } catch (MqttException e) {
      LOG.debug("{} could not say farewell.", clientId, e);
      port.end();
    }
  }

  /** Is rid of socket, threads and whatever the library still holds. May take a while. */
  void discard() {
    sockets.close();
    try {
      client.disconnectForcibly(0, 0, false);
    } catch (MqttException e) {
      LOG.debug("The client of {} was disconnected already.", clientId, e);
    }
    try {
      client.close(true);
    } catch (MqttException e) {
      LOG.debug("The client of {} could not be closed.", clientId, e);
    }
  }

  private void gone(String reason, boolean takenOver) {
    port.run(() -> port.lost(this, reason, takenOver));
  }

  @Override
  public void disconnected(MqttDisconnectResponse response) {
    MqttException cause = response.getException();
    String reason = cause == null ? response.toString() : PahoBroker.reason(cause);
    gone(reason, response.getReturnCode() == SESSION_TAKEN_OVER);
  }

  @Override
  public void messageArrived(String topic, MqttMessage message) {
    port.arrived(this, Translation.fromPaho(topic, message));
  }

  @Override
  public void connectComplete(boolean reconnect, String serverUri) {
    // The connect token tells the same.
  }

  @Override
  public void mqttErrorOccurred(MqttException exception) {
    LOG.warn("The MQTT client of {} reports: {}", clientId, PahoBroker.reason(exception));
  }

  @Override
  public void deliveryComplete(IMqttToken token) {
    refusal(token).ifPresent(code -> port.refused(String.join(", ", topics(token)), code));
    // There is room for the next, if any waits; looking is left to the port's thread.
    port.run(this::sendWaiting);
  }

  /** The broker's reason for saying no; empty when it has said yes. */
  private static OptionalInt refusal(IMqttToken token) {
    int[] codes = token.getReasonCodes();
    return codes == null
        ? OptionalInt.empty()
        : Arrays.stream(codes).filter(code -> code >= FIRST_REFUSAL).findFirst();
  }

  private static String[] topics(IMqttToken token) {
    String[] topics = token.getTopics();
    return topics == null ? new String[] {"a topic"} : topics;
  }

  @Override
  public void authPacketArrived(int reasonCode, MqttProperties properties) {
    // No enhanced authentication is asked for.
  }
}
