package islet.contract;

/**
 * One client's side of a broker, real or virtual. Nothing here blocks and nothing here throws for a
 * reason that lies on the wire: a lost link shows in {@link #connected()} and in the listener's
 * {@link Listener#link(boolean)}.
 */
public interface Port {

  /**
   * Sends a message; when the link is down it is dropped and counted, since old orders must not
   * arrive late.
   */
  void publish(Message message);

  /**
   * Asks for all messages that match an MQTT topic filter. A subscription outlives a lost link.
   *
   * @param filter topic filter, may hold {@code +} and {@code #}
   * @param qos the highest quality of service to be delivered with, 0 or 1
   */
  void subscribe(String filter, int qos);

  /** Whether the link stands at present. */
  boolean connected();

  /** Leaves in good order: the will is not published. */
  void close();

  /** What a client is told. Called on one thread at a time; must return at once. */
  interface Listener {

    /** A message that matches a subscription has come. */
    void message(Message message);

    /** The link has come up ({@code true}) or gone down. */
    void link(boolean up);

    /**
     * Whether a topic means anything to it. Messages of other topics are dropped before they wait,
     * so that they take nobody's room. Called on any thread; must return at once.
     */
    default boolean wants(String topic) {
      return true;
    }
  }

  /** Makes connected ports. */
  interface Broker {

    /**
     * Opens a port. The link may come up later; the listener is told.
     *
     * @param clientId unique at the broker; a second client with the same id takes the place of the
     *     first
     * @param will published by the broker when this client is lost without farewell
     */
    Port connect(String clientId, Message will, Listener listener);
  }
}
