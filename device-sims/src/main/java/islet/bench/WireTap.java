package islet.bench;

import islet.contract.Message;

/**
 * Somebody who listens on the wire: sees what was really sent and what really arrived, whatever the
 * clients believe. Hazards judge by this.
 */
public interface WireTap {

  /**
   * A message of a client has reached the broker, or the broker has published a client's will.
   *
   * @param micros the instant, in microseconds since the Unix epoch
   * @param from the client id of the sender
   */
  void published(long micros, String from, Message message);

  /**
   * A message has arrived at a client.
   *
   * @param micros the instant, in microseconds since the Unix epoch
   * @param to the client id of the receiver
   */
  void delivered(long micros, String to, Message message);
}
