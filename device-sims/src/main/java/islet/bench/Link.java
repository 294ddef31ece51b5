package islet.bench;

import java.util.ArrayList;
import java.util.List;

/**
 * The way between one client and the virtual broker, with everything that can go wrong on it.
 *
 * <p>A cut cable is not noticed at once: until keep-alive runs out both ends believe in the
 * connection, what they send waits in the cable, and it all arrives, late, when the cable is mended
 * in time. This is how old orders come to be on a wire. After that time the connection ends on both
 * sides and the will is published (OASIS MQTT 5.0, 3.1.2.10: one and a half keep-alive intervals;
 * from memory). {@link VirtualBroker#drop} ends a connection at once instead.
 */
public final class Link {

  /** One millisecond, each way: a wired network at a small site. Common practice. */
  public static final long LATENCY_MICROS = 1_000;

  /** One and a half times the 5 s keep-alive that the real port asks for. */
  public static final long NOTICE_MICROS = 7_500_000;

  /** How long after the loss of a connection a client tries anew. */
  public static final long RECONNECT_MICROS = 1_000_000;

  /**
   * What did not get through, counted since the start of the run.
   *
   * @param unsent published by the client while its link was down, and so dropped at once
   * @param lost lost on the way
   * @param missed QoS 0 messages that the broker had for the client while it was away
   * @param expired messages that expired while waiting for the client
   * @param overflow messages for which the session's queue had no room
   * @param again sent again, marked as duplicates, since no acknowledgement had come before the
   *     connection was lost
   */
  public record Counts(
      long unsent, long lost, long missed, long expired, long overflow, long again) {}

  private final VirtualTime time;
  private final VirtualBroker broker;
  private final String clientId;
  private final VirtualTime.Timer notice;
  private final List<VirtualPort> ports = new ArrayList<>(1);

  private long upMicros = LATENCY_MICROS;
  private long downMicros = LATENCY_MICROS;
  private long noticeMicros = NOTICE_MICROS;
  private long reconnectMicros = RECONNECT_MICROS;
  private Disturbance disturbance = Disturbance.NONE;
  private boolean cut;
  private long cutAt;

  private long unsent;
  private long lost;
  private long missed;
  private long expired;
  private long overflow;
  private long again;

  Link(VirtualTime time, VirtualBroker broker, String clientId) {
    this.time = time;
    this.broker = broker;
    this.clientId = clientId;
    notice = time.timer(VirtualTime.BROKER, this::giveUp);
  }

  /** The client at the other end. */
  public String clientId() {
    return clientId;
  }

  /**
   * Sets how long a packet is on its way.
   *
   * @param up client to broker, 0 or more µs
   * @param down broker to client, 0 or more µs
   */
  public Link latency(long up, long down) {
    upMicros = notNegative("latency to the broker", up);
    downMicros = notNegative("latency to the client", down);
    return this;
  }

  /**
   * Sets after which time both ends notice a cut.
   *
   * @param micros 0 or more µs
   */
  public Link notice(long micros) {
    noticeMicros = notNegative("time to notice a cut", micros);
    return this;
  }

  /**
   * Sets how long after the loss of its connection, or after the mending of the cable, the client
   * tries anew.
   *
   * @param micros 0 or more µs
   */
  public Link reconnect(long micros) {
    reconnectMicros = notNegative("time to reconnect", micros);
    return this;
  }

  /** Puts a disturbance on the link in place of the one before; {@link Disturbance#NONE} heals. */
  public Link disturb(Disturbance what) {
    disturbance = what;
    return this;
  }

  /** Cuts the cable. */
  public void cut() {
    if (!cut) {
      cut = true;
      cutAt = time.now();
      notice.arm(time.now() + noticeMicros);
    }
  }

  /** Mends the cable. */
  public void restore() {
    if (!cut) {
      return;
    }
    cut = false;
    notice.cancel();
    for (VirtualPort port : List.copyOf(ports)) {
      Connection connection = port.connection();
      if (connection.open) {
        connection.up.release(time.now() + upMicros);
        connection.down.release(time.now() + downMicros);
      } else {
        port.retryLater();
      }
    }
  }

  /** Whether the cable is cut. */
  public boolean isCut() {
    return cut;
  }

  /** What did not get through so far. */
  public Counts counts() {
    return new Counts(unsent, lost, missed, expired, overflow, again);
  }

  private void giveUp() {
    broker.drop(clientId);
  }

  private static long notNegative(String what, long micros) {
    if (micros < 0) {
      throw new IllegalArgumentException(
          "The " + what + " was set to " + micros + " µs; it must be 0 or more.");
    }
    return micros;
  }

  void join(VirtualPort port) {
    ports.removeIf(other -> other.finished() && !other.connection().open);
    ports.add(port);
  }

  List<VirtualPort> ports() {
    return List.copyOf(ports);
  }

  /** The latest instant at which something sent by the client has reached the broker for sure. */
  long heardUntil() {
    return cut ? cutAt : time.now();
  }

  long upMicros() {
    return upMicros;
  }

  long downMicros() {
    return downMicros;
  }

  long reconnectMicros() {
    return reconnectMicros;
  }

  Disturbance disturbance() {
    return disturbance;
  }

  void countUnsent() {
    unsent++;
  }

  void countLost(int number) {
    lost += number;
  }

  void countMissed() {
    missed++;
  }

  void countExpired() {
    expired++;
  }

  void countOverflow() {
    overflow++;
  }

  void countAgain() {
    again++;
  }
}
