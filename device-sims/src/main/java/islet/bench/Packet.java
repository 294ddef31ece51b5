package islet.bench;

import islet.contract.Message;

/** One control packet on its way through a lane; kept and used again when it has arrived. */
final class Packet implements Runnable {

  /** The control packets that matter here; acknowledgements are reckoned, not sent. */
  enum Kind {
    CONNECT,
    CONNACK,
    SUBSCRIBE,
    PUBLISH,
    DELIVER,
    DISCONNECT
  }

  static final Message EMPTY = Message.of("", new byte[0], 0, false);

  private final VirtualBroker broker;
  final VirtualTime.Timer timer;

  Kind kind = Kind.CONNECT;
  Lane lane;
  Message message = EMPTY;
  Pending pending = Pending.NONE;

  /** The filter of a SUBSCRIBE. */
  String filter = "";

  /** The quality of service asked for by a SUBSCRIBE. */
  int qos;

  /**
   * Of a CONNECT: clean start. Of a SUBSCRIBE: retained messages are wanted although the
   * subscription exists already.
   */
  boolean anew;

  /** Has waited out a cut and now goes before everything that was sent after it. */
  boolean released;

  Packet(VirtualBroker broker, VirtualTime time, Lane lane) {
    this.broker = broker;
    this.lane = lane;
    timer = time.timer(VirtualTime.BROKER, this);
  }

  @Override
  public void run() {
    broker.arrive(this);
  }

  /** Lets go of what it carried. */
  void clear() {
    message = EMPTY;
    pending = Pending.NONE;
    filter = "";
    anew = false;
    released = false;
  }
}
