package islet.bench;

import islet.contract.Message;

/** A QoS 1 message that the broker owes to a session until it is acknowledged. */
final class Pending {

  /** Stands with QoS 0 messages, for which nothing is owed. */
  static final Pending NONE = new Pending(Packet.EMPTY, VirtualTime.NEVER);

  /** As it goes, or last went, to the client. */
  Message message;

  /** When it expires, µs since the Unix epoch; {@link VirtualTime#NEVER} for not at all. */
  final long deadline;

  /** Whether it has been put on a link: then its expiry no longer counts (3.3.2.3.3). */
  boolean sent;

  /** When its acknowledgement reaches the broker, if the link holds till then. */
  long acknowledgedAt = VirtualTime.NEVER;

  Pending(Message message, long deadline) {
    this.message = message;
    this.deadline = deadline;
  }
}
