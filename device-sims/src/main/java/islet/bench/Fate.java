package islet.bench;

import islet.contract.Message;

/**
 * What becomes of one message on a link. The broker hands the same object to the link's {@link
 * Disturbance} for every message, reset, so a disturbance must not keep it.
 */
public final class Fate {

  private Message message = Packet.EMPTY;
  private boolean lost;
  private int copies;
  private long delayMicros;
  private long laterMicros;

  Fate() {}

  void reset(Message sent) {
    message = sent;
    lost = false;
    copies = 1;
    delayMicros = 0;
    laterMicros = 0;
  }

  /** The message as it stands. */
  public Message message() {
    return message;
  }

  /** Puts another message in its place, for instance one with a damaged payload. */
  public void replace(Message other) {
    message = other;
  }

  /** Lets the message vanish. */
  public void lose() {
    lost = true;
  }

  /** Lets the message arrive once more, directly behind itself. */
  public void duplicate() {
    copies++;
  }

  /**
   * Holds up the message and, since a connection keeps its order, all behind it.
   *
   * @param micros added to the link's latency, 0 or more µs
   */
  public void delay(long micros) {
    delayMicros += micros;
  }

  /**
   * Holds back this message alone, so that others overtake it. A TCP connection never does this; a
   * gateway or bridge on the way may.
   *
   * @param micros added to the link's latency, 0 or more µs
   */
  public void later(long micros) {
    laterMicros += micros;
  }

  boolean isLost() {
    return lost;
  }

  int copies() {
    return copies;
  }

  long delayMicros() {
    return delayMicros;
  }

  long laterMicros() {
    return laterMicros;
  }
}
