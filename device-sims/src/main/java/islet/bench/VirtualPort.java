package islet.bench;

import islet.contract.Message;
import islet.contract.Port;
import java.util.LinkedHashMap;
import java.util.Map;

/** A client's side of the virtual broker. */
final class VirtualPort implements Port {

  private final VirtualBroker broker;
  private final Link link;
  private final Message will;
  private final Listener listener;
  private final VirtualTime.Timer retry;
  private final Map<String, Integer> filters = new LinkedHashMap<>();

  private Connection connection;
  private boolean finished;
  private boolean firstConnect = true;

  VirtualPort(VirtualBroker broker, VirtualTime time, Link link, Message will, Listener listener) {
    this.broker = broker;
    this.link = link;
    this.will = will;
    this.listener = listener;
    retry = time.timer(VirtualTime.BROKER, this::attempt);
    connection = new Connection(this);
    connection.open = false;
    link.join(this);
    attempt();
  }

  Link link() {
    return link;
  }

  Message will() {
    return will;
  }

  Connection connection() {
    return connection;
  }

  @Override
  public void publish(Message message) {
    broker.checkTopic(message.topic());
    if (connected()) {
      broker.sendFrom(connection, message);
    } else {
      link.countUnsent();
    }
  }

  @Override
  public void subscribe(String filter, int qos) {
    TopicFilter.check(filter);
    filters.put(filter, qos);
    if (connected()) {
      broker.sendSubscribe(connection, filter, qos, true);
    }
  }

  @Override
  public boolean connected() {
    return connection.open && connection.acknowledged && !finished;
  }

  @Override
  public void close() {
    if (connection.open && !finished) {
      // A client may send before its CONNECT is answered (3.1.4), so this serves then too.
      broker.sendDisconnect(connection);
    }
    finish();
  }

  /** Ends this port for good; its listener hears nothing any more. */
  void finish() {
    finished = true;
    retry.cancel();
  }

  boolean finished() {
    return finished;
  }

  private void attempt() {
    if (finished || link.isCut()) {
      return;
    }
    if (broker.isDown()) {
      retryLater();
      return;
    }
    connection = new Connection(this);
    broker.sendConnect(connection, firstConnect);
  }

  void retryLater() {
    if (!finished) {
      retry.arm(broker.time().now() + link.reconnectMicros());
    }
  }

  /** The broker has taken the client in. */
  void acknowledged() {
    if (finished) {
      return;
    }
    connection.acknowledged = true;
    // On a resumed session the broker has the subscriptions; asking for retained messages only
    // where
    // it hasn't is retain handling 1 (3.8.3.1).
    filters.forEach((filter, qos) -> broker.sendSubscribe(connection, filter, qos, firstConnect));
    firstConnect = false;
    listener.link(true);
  }

  void message(Message message) {
    if (!finished) {
      listener.message(message);
    }
  }

  /** The connection has broken under the client. */
  void broken(boolean wasUp) {
    if (finished) {
      return;
    }
    if (wasUp) {
      listener.link(false);
    }
    if (!link.isCut()) {
      retryLater();
    }
  }

  /** Another client has taken this one's place: coming back would only throw that one out. */
  void takenOver(boolean wasUp) {
    boolean tell = wasUp && !finished;
    finish();
    if (tell) {
      listener.link(false);
    }
  }
}
