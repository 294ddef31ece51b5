package islet.bench;

import java.util.ArrayDeque;

/**
 * One direction of one connection. Like TCP it keeps the order of what is put in, and holds what
 * cannot get through while the cable is cut; what is held arrives when the cable is mended in time,
 * and is gone when the connection is given up before.
 */
final class Lane {

  final Connection connection;
  final boolean toBroker;

  private final ArrayDeque<Packet> stalled = new ArrayDeque<>(0);

  /** No packet arrives before its forerunner. */
  private long lastArrival = Long.MIN_VALUE;

  private long heldUntil;
  private int releasedOnTheWay;

  Lane(Connection connection, boolean toBroker) {
    this.connection = connection;
    this.toBroker = toBroker;
  }

  /** The instant at which a packet put in now arrives, in order behind all others. */
  long arrival(long earliest) {
    lastArrival = Math.max(lastArrival, earliest);
    return lastArrival;
  }

  /**
   * Called when a packet comes to the end of the lane.
   *
   * @return whether it is through; if not, it is waiting or on its way again
   */
  boolean through(Packet packet) {
    if (packet.released) {
      releasedOnTheWay--;
      packet.released = false;
    } else if (releasedOnTheWay > 0) {
      packet.timer.arm(heldUntil);
      return false;
    }
    if (connection.link.isCut()) {
      stalled.add(packet);
      return false;
    }
    return true;
  }

  /** The cable is whole again: what waited sets out anew, in order. */
  void release(long arrival) {
    heldUntil = arrival(arrival);
    for (Packet packet : stalled) {
      packet.released = true;
      releasedOnTheWay++;
      packet.timer.arm(heldUntil);
    }
    stalled.clear();
  }

  /** The connection is given up: what waited is lost. */
  int abandon(VirtualBroker broker) {
    int lost = stalled.size();
    for (Packet packet : stalled) {
      broker.recycle(packet);
    }
    stalled.clear();
    return lost;
  }
}
