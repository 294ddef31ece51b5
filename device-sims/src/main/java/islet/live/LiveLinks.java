package islet.live;

import islet.contract.Message;
import islet.contract.Port;
import islet.mqtt.Access;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.LongSupplier;

/**
 * The connections of a live run's clients: who is still without one, what is on its way, and what
 * got lost.
 */
final class LiveLinks implements AutoCloseable {

  private static final long CONNECT_LIMIT_NANOS = 10_000_000_000L;
  private static final long LOOK_MILLIS = 10;

  /** Told on the owner's thread that a client has lost its link, or has it again. */
  @FunctionalInterface
  interface Note {
    void link(String clientId, boolean up);
  }

  private final RealTimeDriver driver;
  private final InFlight inFlight;
  private final LongSupplier siteMicros;
  private final PahoBroker broker;
  private final Set<String> awaited = ConcurrentHashMap.newKeySet();
  private volatile long lostBefore;

  LiveLinks(
      String brokerUrl,
      Access access,
      RealTimeDriver driver,
      InFlight inFlight,
      LongSupplier siteMicros) {
    this.driver = driver;
    this.inFlight = inFlight;
    this.siteMicros = siteMicros;
    broker = new PahoBroker(brokerUrl, PahoSettings.USUAL.with(access));
  }

  /** Connects a party of the simulation; site time waits for what is on its way to it. */
  Port connect(String clientId, Message will, Port.Listener listener, Note note) {
    awaited.add(clientId);
    Port.Listener onOwnersThread = driver.handingOver(counted(clientId, listener));
    Port port =
        broker.connect(
            clientId,
            will,
            new Port.Listener() {
              @Override
              public void message(Message message) {
                onOwnersThread.message(message);
              }

              @Override
              public void link(boolean up) {
                boolean first = up && awaited.remove(clientId);
                onOwnersThread.link(up);
                if (!first) {
                  driver.hand(() -> note.link(clientId, up));
                }
              }
            });
    return counted(clientId, port);
  }

  /** Connects somebody who is no part of the simulation, and whom site time does not wait for. */
  Port connectDesk(String clientId, Message will, Port.Listener listener) {
    awaited.add(clientId);
    return broker.connect(
        clientId,
        will,
        new Port.Listener() {
          @Override
          public void message(Message message) {
            listener.message(message);
          }

          @Override
          public void link(boolean up) {
            if (up) {
              awaited.remove(clientId);
            }
            listener.link(up);
          }
        });
  }

  /**
   * Counts what arrives. It wants every topic, also those that its listener passes over, since each
   * message that comes shows that it is no longer on its way.
   */
  private Port.Listener counted(String clientId, Port.Listener listener) {
    return new Port.Listener() {
      @Override
      public void message(Message message) {
        inFlight.arrived(clientId, message.topic());
        listener.message(message);
      }

      @Override
      public void link(boolean up) {
        inFlight.linked(clientId, up);
        listener.link(up);
      }
    };
  }

  private Port counted(String clientId, Port port) {
    return new Port() {
      @Override
      public void publish(Message message) {
        if (port.connected()) {
          inFlight.sent(message.topic(), siteMicros.getAsLong());
        }
        port.publish(message);
      }

      @Override
      public void subscribe(String filter, int qos) {
        inFlight.subscribes(clientId, filter);
        port.subscribe(filter, qos);
      }

      @Override
      public boolean connected() {
        return port.connected();
      }

      @Override
      public void close() {
        port.close();
      }
    };
  }

  /**
   * Waits until everybody is connected. What was lost until then is forgotten: whoever spoke before
   * his link was up says it again when it is.
   *
   * @throws SurroundingsException when somebody does not get a connection within 10 s
   */
  void await() throws SurroundingsException {
    long limit = System.nanoTime() + CONNECT_LIMIT_NANOS;
    while (!awaited.isEmpty()) {
      if (System.nanoTime() > limit) {
        throw new SurroundingsException(
            "These clients got no connection to the broker within 10 s: "
                + String.join(", ", awaited.stream().sorted().toList())
                + ". Look at the broker's limits and access rules.");
      }
      try {
        Thread.sleep(LOOK_MILLIS);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new SurroundingsException("Waiting for the broker was interrupted.", e);
      }
    }
    lostBefore = lost();
  }

  /** Messages that did not get through. From any thread. */
  long dropped() {
    return lost() - lostBefore;
  }

  private long lost() {
    PahoBroker.Counts counts = broker.counts();
    return driver.lag().dropped()
        + counts.unsent()
        + counts.unacknowledged()
        + counts.oversized()
        + counts.overflow()
        + counts.failed()
        + counts.refused();
  }

  @Override
  public void close() {
    broker.close();
  }
}
