package islet.live;

import islet.bench.MqttGround;
import islet.bench.MqttSemantics;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** The embedded broker through the real port under the suite of MQTT semantics. */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class EmbeddedBrokerMqttTest extends MqttSemantics {

  private static EmbeddedBroker broker;

  @BeforeAll
  static void start() throws SurroundingsException {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stop() {
    broker.close();
  }

  /** Version 2025.5 hands on the whole interval with a retained message: measured by this suite. */
  @Override
  protected boolean agesRetainedMessages() {
    return false;
  }

  @Override
  protected MqttGround ground() {
    return new RealGround(broker.port(), SESSION_EXPIRY_SECONDS);
  }
}
