package islet.bench;

/** One network connection between a client and the broker, from CONNECT to its end. */
final class Connection {

  final VirtualPort port;
  final Link link;
  final Lane up = new Lane(this, true);
  final Lane down = new Lane(this, false);

  /** Whether anything sent on it can still arrive. */
  boolean open = true;

  /** Whether the client has been told that it is connected. */
  boolean acknowledged;

  Connection(VirtualPort port) {
    this.port = port;
    this.link = port.link();
  }
}
