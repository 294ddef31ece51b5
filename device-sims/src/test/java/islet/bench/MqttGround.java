package islet.bench;

import islet.contract.Message;
import islet.contract.Port;
import java.util.function.BooleanSupplier;

/**
 * Where the suite of MQTT semantics stands: a broker, the links to it, and a way for time to pass.
 */
public interface MqttGround extends AutoCloseable {

  /** Opens a port through a link of its own. */
  Port connect(String clientId, Message will, Port.Listener listener);

  /** Breaks a client's link so that both ends notice at once, and keeps it broken. */
  void cut(String clientId);

  /**
   * Lets nothing that a client sends reach the broker any more, though it still hears the broker;
   * till its link is mended after a cut.
   */
  void mute(String clientId);

  /** How many messages a client has been sent so far that were marked as duplicates. */
  int duplicates(String clientId);

  /** Mends a client's link; the port comes back by itself. */
  void restore(String clientId);

  /** Lets time pass until something holds, and fails with a sentence when it never does. */
  void await(String what, BooleanSupplier condition);

  /** Lets time pass. */
  void pass(double seconds);

  /** Lets time pass till whatever was sent has surely arrived. */
  void settle();

  @Override
  void close();
}
