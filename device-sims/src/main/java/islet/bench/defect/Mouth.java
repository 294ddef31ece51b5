package islet.bench.defect;

import islet.contract.Message;
import islet.contract.Port;
import java.util.function.Consumer;

/** What becomes of a supervisor's words on their way to the wire. One belongs to one run. */
@FunctionalInterface
interface Mouth {

  /** Says everything as it is meant. */
  Mouth HONEST = (message, wire) -> wire.accept(message);

  /**
   * Says a message, another in its place, or nothing.
   *
   * @param message as it is meant
   * @param wire takes what is said
   */
  void say(Message message, Consumer<Message> wire);

  /** A port on which everything is said by this mouth. */
  default Port over(Port honest) {
    return new Port() {
      @Override
      public void publish(Message message) {
        say(message, honest::publish);
      }

      @Override
      public void subscribe(String filter, int qos) {
        honest.subscribe(filter, qos);
      }

      @Override
      public boolean connected() {
        return honest.connected();
      }

      @Override
      public void close() {
        honest.close();
      }
    };
  }
}
