package islet.live;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BiConsumer;
import javax.net.SocketFactory;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttClientException;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/** The client library as it comes, but without Nagle's algorithm: what any program could use. */
final class BareClient implements AutoCloseable, StubSite.Wire {

  private static final long PATIENCE_MILLIS = 30_000;

  private static final long PAUSE_NANOS = 200_000;

  private final MqttAsyncClient client;

  /**
   * Connects and waits for it.
   *
   * @param hears is told topic and message on the library's thread
   */
  BareClient(String url, String id, BiConsumer<String, MqttMessage> hears) throws MqttException {
    client = new MqttAsyncClient(url, id, new MemoryPersistence());
    client.setCallback(
        new MqttCallback() {
          @Override
          public void disconnected(MqttDisconnectResponse response) {}

          @Override
          public void mqttErrorOccurred(MqttException exception) {}

          @Override
          public void messageArrived(String topic, MqttMessage message) {
            hears.accept(topic, message);
          }

          @Override
          public void deliveryComplete(IMqttToken token) {}

          @Override
          public void connectComplete(boolean reconnect, String serverUri) {}

          @Override
          public void authPacketArrived(int reasonCode, MqttProperties properties) {}
        });
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setAutomaticReconnect(false);
    options.setKeepAliveInterval(60);
    options.setReceiveMaximum(65_535);
    options.setSocketFactory(new Prompt());
    client.connect(options).waitForCompletion(PATIENCE_MILLIS);
  }

  void subscribe(String filter, int qos) throws MqttException {
    client
        .subscribe(new MqttSubscription[] {new MqttSubscription(filter, qos)})
        .waitForCompletion(PATIENCE_MILLIS);
  }

  @Override
  public void send(String topic, byte[] payload, int qos, boolean retain) {
    send(topic, new MqttMessage(payload, qos, retain, new MqttProperties()));
  }

  /** Waits while more are unacknowledged than the broker takes, as on a busy machine at a start. */
  void send(String topic, MqttMessage message) {
    long limit = System.nanoTime() + PATIENCE_MILLIS * 1_000_000;
    try {
      while (!sent(topic, message, System.nanoTime() < limit)) {
        LockSupport.parkNanos(PAUSE_NANOS);
      }
    } catch (MqttException e) {
      throw new IllegalStateException("a trial's client could not publish to " + topic, e);
    }
  }

  private boolean sent(String topic, MqttMessage message, boolean mayWait) throws MqttException {
    try {
      client.publish(topic, message);
      return true;
    } catch (MqttException e) {
      if (mayWait && e.getReasonCode() == MqttClientException.REASON_CODE_MAX_INFLIGHT) {
        return false;
      }
      throw e;
    }
  }

  boolean connected() {
    return client.isConnected();
  }

  @Override
  public void close() {
    try {
      client.disconnectForcibly(0, 1_000, true);
      client.close(true);
    } catch (MqttException e) {
      throw new IllegalStateException("a trial's client could not be closed", e);
    }
  }

  /** Sockets that send at once. */
  private static final class Prompt extends SocketFactory {
    @Override
    public Socket createSocket() throws IOException {
      Socket socket = new Socket();
      socket.setTcpNoDelay(true);
      return socket;
    }

    @Override
    public Socket createSocket(String host, int port) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(String host, int port, InetAddress from, int fromPort) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(InetAddress host, int port) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(InetAddress host, int port, InetAddress from, int fromPort) {
      throw new UnsupportedOperationException();
    }
  }
}
