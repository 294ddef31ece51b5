package islet.bench;

import static org.junit.jupiter.api.Assertions.fail;

import islet.contract.Message;
import islet.contract.Port;
import java.util.function.BooleanSupplier;

/** The virtual broker under the suite of MQTT semantics. */
class VirtualBrokerMqttTest extends MqttSemantics {

  @Override
  protected MqttGround ground() {
    return new VirtualGround();
  }

  @Override
  protected boolean waitsByTheWallClock() {
    return false;
  }

  private static final class VirtualGround implements MqttGround {

    private final VirtualTime time = new VirtualTime(0);
    private final VirtualBroker broker =
        new VirtualBroker(time).sessionExpiry(SESSION_EXPIRY_SECONDS);

    @Override
    public Port connect(String clientId, Message will, Port.Listener listener) {
      broker.link(clientId).notice(0);
      return broker.connect(clientId, will, listener);
    }

    @Override
    public void cut(String clientId) {
      broker.link(clientId).cut();
    }

    @Override
    public void mute(String clientId) {
      broker.link(clientId).latency(Long.MAX_VALUE / 4, Link.LATENCY_MICROS);
    }

    @Override
    public int duplicates(String clientId) {
      return (int) broker.link(clientId).counts().again();
    }

    @Override
    public void restore(String clientId) {
      broker.link(clientId).latency(Link.LATENCY_MICROS, Link.LATENCY_MICROS).restore();
    }

    @Override
    public void await(String what, BooleanSupplier condition) {
      for (int millis = 0; millis < 10_000 && !condition.getAsBoolean(); millis++) {
        time.runUntil(time.now() + 1_000);
      }
      if (!condition.getAsBoolean()) {
        fail("Within 10 s of virtual time there was no sign of " + what + ".");
      }
    }

    @Override
    public void pass(double seconds) {
      time.runUntil(time.now() + (long) (seconds * 1e6));
    }

    @Override
    public void settle() {
      pass(0.3);
    }

    @Override
    public void close() {
      // Nothing runs by itself in virtual time.
    }
  }
}
