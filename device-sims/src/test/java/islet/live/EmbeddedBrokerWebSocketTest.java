package islet.live;

import islet.bench.MqttGround;
import islet.bench.MqttSemantics;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * The embedded broker's WebSocket through the real port under the suite of MQTT semantics: what
 * carries the messages must not change what becomes of them (OASIS MQTT Version 5.0, 6).
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class EmbeddedBrokerWebSocketTest extends MqttSemantics {

  private static EmbeddedBroker broker;
  private static int webSocketPort;

  @BeforeAll
  static void start() throws SurroundingsException {
    webSocketPort = EmbeddedBroker.freePort();
    broker = EmbeddedBroker.start(new Listeners(EmbeddedBroker.freePort(), webSocketPort));
  }

  @AfterAll
  static void stop() {
    broker.close();
  }

  /** As over TCP. */
  @Override
  protected boolean agesRetainedMessages() {
    return false;
  }

  @Override
  protected MqttGround ground() {
    return new RealGround("ws", webSocketPort, SESSION_EXPIRY_SECONDS);
  }
}
