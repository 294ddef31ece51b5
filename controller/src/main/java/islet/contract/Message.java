package islet.contract;

import java.nio.charset.StandardCharsets;

/**
 * One MQTT message with the properties that Islet uses.
 *
 * @param topic the topic name, without wildcards
 * @param payload UTF-8 JSON; may be empty to clear a retained message. Not copied: the sender must
 *     not reuse it
 * @param qos 0 or 1
 * @param retain whether the broker keeps it for later subscribers
 * @param expirySeconds message expiry interval in seconds; 0 for none
 * @param responseTopic where an answer is awaited; empty for nowhere
 * @param correlation correlation data of request and response; empty for none
 */
@SuppressWarnings("ArrayRecordComponent") // the wire's own form; compared by nobody
public record Message(
    String topic,
    byte[] payload,
    int qos,
    boolean retain,
    int expirySeconds,
    String responseTopic,
    byte[] correlation) {

  private static final byte[] NOTHING = {};

  /** A message without properties. */
  public static Message of(String topic, byte[] payload, int qos, boolean retain) {
    return new Message(topic, payload, qos, retain, 0, "", NOTHING);
  }

  /** The payload as text, for people. */
  public String text() {
    return new String(payload, StandardCharsets.UTF_8);
  }
}
