package islet.live;

import islet.contract.Message;
import islet.contract.Port;
import java.util.Set;

/**
 * A broker that some clients never reach: what they say goes nowhere, and they hear nothing. So a
 * device that somebody else's takes the place of is off the wire, while its part of the plant is
 * still there.
 *
 * @param broker where the others connect
 * @param silent client ids
 */
record OffTheWire(Port.Broker broker, Set<String> silent) implements Port.Broker {

  private static final Port NOWHERE =
      new Port() {
        @Override
        public void publish(Message message) {}

        @Override
        public void subscribe(String filter, int qos) {}

        @Override
        public boolean connected() {
          return false;
        }

        @Override
        public void close() {}
      };

  OffTheWire {
    silent = Set.copyOf(silent);
  }

  @Override
  public Port connect(String clientId, Message will, Port.Listener listener) {
    return silent.contains(clientId) ? NOWHERE : broker.connect(clientId, will, listener);
  }
}
