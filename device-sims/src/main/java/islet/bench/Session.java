package islet.bench;

import java.util.ArrayDeque;
import java.util.LinkedHashMap;
import java.util.Map;

/** What the broker keeps for a client beyond a connection (OASIS MQTT 5.0, 4.1, from memory). */
final class Session {

  /** A subscription: the filter and the highest quality of service to deliver with. */
  record Subscription(TopicFilter filter, int qos) {}

  /** No match among the subscriptions. */
  static final int UNMATCHED = -1;

  final String clientId;

  /** The present connection, or the last one when it is no longer open. */
  Connection connection;

  /** When the session ends unless the client comes back, µs since the Unix epoch. */
  long endsAt = VirtualTime.NEVER;

  final ArrayDeque<Pending> owed = new ArrayDeque<>();

  private final Map<String, Subscription> subscriptions = new LinkedHashMap<>();

  Session(String clientId, Connection connection) {
    this.clientId = clientId;
    this.connection = connection;
  }

  /**
   * Sets a subscription, in place of one with the same filter.
   *
   * @return whether there was none before
   */
  boolean subscribe(String filter, int qos) {
    return subscriptions.put(filter, new Subscription(new TopicFilter(filter), qos)) == null;
  }

  /**
   * The highest quality of service that any matching subscription allows (3.3.4), or {@link
   * #UNMATCHED}.
   */
  int qosFor(String[] topic) {
    int highest = UNMATCHED;
    for (Subscription subscription : subscriptions.values()) {
      if (subscription.qos() > highest && subscription.filter().matches(topic)) {
        highest = subscription.qos();
      }
    }
    return highest;
  }

  /** Forgets what the client has acknowledged by an instant. */
  void settleAll(long acknowledgedBy) {
    owed.removeIf(pending -> pending.acknowledgedAt <= acknowledgedBy);
  }

  /** As {@link #settleAll}, as far as the oldest one that is still open. */
  void settleFront(long acknowledgedBy) {
    while (!owed.isEmpty() && owed.element().acknowledgedAt <= acknowledgedBy) {
      owed.remove();
    }
  }
}
