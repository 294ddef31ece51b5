package islet.bench;

import islet.contract.Message;
import islet.contract.Port;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * An MQTT 5 broker in virtual time, with a network around it: one {@link Link} to each client,
 * which has a latency and can be cut and disturbed.
 *
 * <p>By OASIS MQTT Version 5.0 (section numbers from memory): retained messages (3.3.1.3), wills
 * (3.1.2.5), sessions and their expiry (3.1.2.11.2, 4.1), take-over of a client id (3.1.4), QoS 0
 * and 1 (4.3), redelivery only after a reconnection (4.4), order (4.6), filters (4.7), message
 * expiry (3.3.2.3.3), response topic and correlation data (4.10). A client's port starts clean and
 * resumes its session when it comes back after a lost link.
 *
 * <p>What differs, on purpose: a message that a client publishes is not sent again by the client
 * after a lost link, at either quality of service, since old orders must not arrive late; and a
 * client with overlapping subscriptions gets one copy, which 3.3.4 leaves to the broker.
 *
 * <p>All packets run at rank {@link VirtualTime#BROKER}. Listeners are never called from within a
 * call of their own port, except that {@link #drop} and {@link #restart} tell them at once.
 */
public final class VirtualBroker implements Port.Broker {

  /** How long the broker keeps a session whose client is away. */
  public static final int SESSION_EXPIRY_SECONDS = 3_600;

  /** QoS 1 messages kept for one session; more are dropped and counted. */
  public static final int QUEUE_LIMIT = 1_000;

  /** Topics whose receivers are remembered; a run has a few dozen. */
  private static final int ROUTES_REMEMBERED = 4_096;

  private static final long MICROS_PER_SECOND = 1_000_000;

  /** A retained message and when it expires. */
  private record Kept(Message message, long deadline) {}

  /** Who gets the messages of a topic, in the order of the sessions' making, and how. */
  @SuppressWarnings("ArrayRecordComponent") // never compared; arrays for speed
  private record Route(Session[] sessions, int[] qos) {}

  private final VirtualTime time;
  private final Map<String, Link> links = new LinkedHashMap<>();
  private final Map<String, Session> sessions = new LinkedHashMap<>();
  private final TreeMap<String, Kept> retained = new TreeMap<>();
  private final Map<String, Route> routes = new HashMap<>();
  private final Fate fate = new Fate();

  private WireTap[] taps = {};
  private final List<Packet> spares = new ArrayList<>();
  private long sessionExpiryMicros = SESSION_EXPIRY_SECONDS * MICROS_PER_SECOND;
  private long downUntil = Long.MIN_VALUE;
  private boolean tellsOfTakeOver = true;

  /** Makes a broker without clients. */
  public VirtualBroker(VirtualTime time) {
    this.time = time;
  }

  /**
   * Sets how long sessions are kept for clients that are away.
   *
   * @param seconds 0 or more
   */
  public VirtualBroker sessionExpiry(int seconds) {
    if (seconds < 0) {
      throw new IllegalArgumentException(
          "The session expiry was set to " + seconds + " s; it must be 0 or more.");
    }
    sessionExpiryMicros = seconds * MICROS_PER_SECOND;
    return this;
  }

  /**
   * Lets it close the first connection without a word when another client takes its id, as some
   * brokers do against 3.1.4; the first client takes that for a lost link and comes back.
   */
  public VirtualBroker silentOnTakeOver() {
    tellsOfTakeOver = false;
    return this;
  }

  /** Lets somebody listen on the wire, from now on. */
  public void tap(WireTap tap) {
    taps = Arrays.copyOf(taps, taps.length + 1);
    taps[taps.length - 1] = tap;
  }

  /** The link of a client, which need not have connected yet. */
  public Link link(String clientId) {
    return links.computeIfAbsent(clientId, id -> new Link(time, this, id));
  }

  /**
   * {@inheritDoc}
   *
   * <p>The link stands two latencies later. A will with an empty topic is none.
   */
  @Override
  public Port connect(String clientId, Message will, Port.Listener listener) {
    if (!will.topic().isEmpty()) {
      TopicFilter.checkName(will.topic());
    }
    return new VirtualPort(this, time, link(clientId), will, listener);
  }

  /**
   * Ends a client's connection at once and without farewell: both ends notice, the will is
   * published, what was on its way is lost, and the client tries to come back unless the cable is
   * cut.
   */
  public void drop(String clientId) {
    for (VirtualPort port : link(clientId).ports()) {
      breakOff(port.connection(), true);
    }
  }

  /**
   * The process behind a client has died: as {@link #drop}, but its ports hear nothing and never
   * come back.
   */
  public void kill(String clientId) {
    for (VirtualPort port : link(clientId).ports()) {
      port.finish();
    }
    drop(clientId);
  }

  /**
   * The broker goes down and comes up again. Clients lose their connections at once; no wills are
   * published.
   *
   * @param downMicros how long it is away, 0 or more µs
   * @param forgetful whether sessions and retained messages are lost, as with a broker that keeps
   *     them in memory only
   */
  public void restart(long downMicros, boolean forgetful) {
    downUntil = time.now() + downMicros;
    for (Link link : List.copyOf(links.values())) {
      for (VirtualPort port : link.ports()) {
        breakOff(port.connection(), false);
      }
    }
    if (forgetful) {
      sessions.clear();
      retained.clear();
      routes.clear();
    }
  }

  VirtualTime time() {
    return time;
  }

  boolean isDown() {
    return time.now() < downUntil;
  }

  void sendConnect(Connection connection, boolean cleanStart) {
    Packet packet = packet(connection.up, Packet.Kind.CONNECT);
    packet.anew = cleanStart;
    send(packet, connection.link.upMicros());
  }

  void sendSubscribe(Connection connection, String filter, int qos, boolean wantRetained) {
    Packet packet = packet(connection.up, Packet.Kind.SUBSCRIBE);
    packet.filter = filter;
    packet.qos = qos;
    packet.anew = wantRetained;
    send(packet, connection.link.upMicros());
  }

  void sendDisconnect(Connection connection) {
    send(packet(connection.up, Packet.Kind.DISCONNECT), connection.link.upMicros());
  }

  /** Refuses a topic name that no message may have; topics that are in use are known to be good. */
  void checkTopic(String topic) {
    if (!routes.containsKey(topic)) {
      TopicFilter.checkName(topic);
    }
  }

  void sendFrom(Connection connection, Message message) {
    sendMessage(connection.up, Packet.Kind.PUBLISH, message, Pending.NONE);
  }

  private void sendMessage(Lane lane, Packet.Kind kind, Message message, Pending pending) {
    Link link = lane.connection.link;
    long latency = lane.toBroker ? link.upMicros() : link.downMicros();
    Disturbance disturbance = link.disturbance();
    if (disturbance == Disturbance.NONE) {
      Packet packet = packet(lane, kind);
      packet.message = message;
      packet.pending = pending;
      send(packet, latency);
    } else {
      sendDisturbed(lane, kind, message, pending, latency, disturbance);
    }
  }

  private void sendDisturbed(
      Lane lane,
      Packet.Kind kind,
      Message message,
      Pending pending,
      long latency,
      Disturbance disturbance) {
    fate.reset(message);
    disturbance.pass(fate, lane.toBroker);
    if (fate.isLost()) {
      lane.connection.link.countLost(1);
      return;
    }
    for (int copy = 0; copy < fate.copies(); copy++) {
      Packet packet = packet(lane, kind);
      packet.message = fate.message();
      packet.pending = pending;
      if (fate.laterMicros() > 0) {
        packet.timer.arm(time.now() + latency + fate.delayMicros() + fate.laterMicros());
      } else {
        send(packet, latency + fate.delayMicros());
      }
    }
  }

  private void send(Packet packet, long latencyMicros) {
    packet.timer.arm(packet.lane.arrival(time.now() + latencyMicros));
  }

  private Packet packet(Lane lane, Packet.Kind kind) {
    Packet packet =
        spares.isEmpty() ? new Packet(this, time, lane) : spares.remove(spares.size() - 1);
    packet.lane = lane;
    packet.kind = kind;
    return packet;
  }

  void recycle(Packet packet) {
    packet.clear();
    spares.add(packet);
  }

  void arrive(Packet packet) {
    Connection connection = packet.lane.connection;
    if (!connection.open) {
      connection.link.countLost(isMessage(packet.kind) ? 1 : 0);
      recycle(packet);
    } else if (packet.lane.through(packet)) {
      Packet.Kind kind = packet.kind;
      Message message = packet.message;
      Pending pending = packet.pending;
      String filter = packet.filter;
      int qos = packet.qos;
      boolean anew = packet.anew;
      recycle(packet);
      switch (kind) {
        case CONNECT -> takeIn(connection, anew);
        case CONNACK -> connection.port.acknowledged();
        case SUBSCRIBE -> subscribe(connection, filter, qos, anew);
        case PUBLISH -> {
          tellPublished(connection.link.clientId(), message);
          distribute(message);
        }
        case DELIVER -> handOver(connection, message, pending);
        case DISCONNECT -> farewell(connection);
      }
    }
  }

  private static boolean isMessage(Packet.Kind kind) {
    return kind == Packet.Kind.PUBLISH || kind == Packet.Kind.DELIVER;
  }

  private void takeIn(Connection connection, boolean cleanStart) {
    String clientId = connection.link.clientId();
    Session session = sessions.getOrDefault(clientId, new Session(clientId, connection));
    Connection former = session.connection;
    if (former != connection && former.open) {
      // 3.1.4: the first connection is closed; its will is sent, since it has no will delay.
      end(former, true);
      if (tellsOfTakeOver) {
        former.port.takenOver(former.acknowledged);
      } else {
        former.port.broken(former.acknowledged);
      }
    }
    if (cleanStart || time.now() >= session.endsAt) {
      forget(session);
      session = new Session(clientId, connection);
    }
    session.connection = connection;
    session.endsAt = VirtualTime.NEVER;
    sessions.put(clientId, session);
    send(packet(connection.down, Packet.Kind.CONNACK), connection.link.downMicros());
    deliverOwed(session);
  }

  private void forget(Session session) {
    sessions.remove(session.clientId, session);
    routes.clear();
  }

  private void deliverOwed(Session session) {
    session.owed.removeIf(pending -> expired(session, pending));
    for (Pending pending : session.owed) {
      if (pending.sent) {
        // 3.3.1.1: on the wire it is marked as a duplicate now.
        session.connection.link.countAgain();
      } else {
        pending.sent = true;
        pending.message = aged(pending.message, pending.deadline);
      }
      sendMessage(session.connection.down, Packet.Kind.DELIVER, pending.message, pending);
    }
  }

  private boolean expired(Session session, Pending pending) {
    boolean expired = !pending.sent && time.now() >= pending.deadline;
    if (expired) {
      session.connection.link.countExpired();
    }
    return expired;
  }

  private void subscribe(Connection connection, String filter, int qos, boolean wantRetained) {
    Session session = sessionOf(connection);
    boolean fresh = session.subscribe(filter, qos);
    routes.clear();
    if (fresh || wantRetained) {
      deliverRetained(session, new TopicFilter(filter), qos);
    }
  }

  private void deliverRetained(Session session, TopicFilter filter, int qos) {
    retained.values().removeIf(kept -> time.now() >= kept.deadline());
    for (Kept kept : retained.values()) {
      Message message = kept.message();
      if (filter.matches(TopicFilter.levelsOf(message.topic()))) {
        Message aged = aged(message, kept.deadline());
        offer(session, variant(aged, Math.min(qos, message.qos()), true), kept.deadline());
      }
    }
  }

  private void distribute(Message message) {
    long deadline =
        message.expirySeconds() == 0
            ? VirtualTime.NEVER
            : time.now() + message.expirySeconds() * MICROS_PER_SECOND;
    if (message.retain()) {
      if (message.payload().length == 0) {
        retained.remove(message.topic());
      } else {
        retained.put(message.topic(), new Kept(message, deadline));
      }
    }
    Route route = route(message.topic());
    // 3.3.1.3: without "retain as published" the flag is off for those who are subscribed already.
    Message asSent = variant(message, message.qos(), false);
    Message lowered = asSent;
    for (int i = 0; i < route.sessions().length; i++) {
      if (route.qos()[i] >= message.qos()) {
        offer(route.sessions()[i], asSent, deadline);
      } else {
        lowered = variant(lowered, 0, false);
        offer(route.sessions()[i], lowered, deadline);
      }
    }
  }

  private void offer(Session session, Message message, long deadline) {
    Connection connection = session.connection;
    if (connection.open) {
      if (message.qos() == 0) {
        sendMessage(connection.down, Packet.Kind.DELIVER, message, Pending.NONE);
      } else {
        Pending pending = new Pending(message, deadline);
        pending.sent = true;
        session.settleFront(connection.link.heardUntil());
        if (owe(session, pending)) {
          sendMessage(connection.down, Packet.Kind.DELIVER, message, pending);
        }
      }
    } else if (time.now() >= session.endsAt) {
      forget(session);
    } else if (message.qos() == 0) {
      connection.link.countMissed();
    } else {
      owe(session, new Pending(message, deadline));
    }
  }

  private static boolean owe(Session session, Pending pending) {
    Link link = session.connection.link;
    if (session.owed.size() >= QUEUE_LIMIT) {
      session.settleAll(link.heardUntil());
    }
    if (session.owed.size() >= QUEUE_LIMIT) {
      link.countOverflow();
      return false;
    }
    session.owed.add(pending);
    return true;
  }

  private void handOver(Connection connection, Message message, Pending pending) {
    if (pending != Pending.NONE) {
      pending.acknowledgedAt =
          Math.min(pending.acknowledgedAt, time.now() + connection.link.upMicros());
    }
    if (connection.port.finished()) {
      return;
    }
    for (WireTap tap : taps) {
      tap.delivered(time.now(), connection.link.clientId(), message);
    }
    connection.port.message(message);
  }

  private void farewell(Connection connection) {
    forget(sessionOf(connection));
    end(connection, false);
  }

  /** The session of a connection that has been taken in. */
  private Session sessionOf(Connection connection) {
    Session session = sessions.get(connection.link.clientId());
    if (session == null || session.connection != connection) {
      throw new IllegalStateException(
          "An open connection of client " + connection.link.clientId() + " has no session.");
    }
    return session;
  }

  private void breakOff(Connection connection, boolean withWill) {
    if (connection.open) {
      boolean wasUp = connection.acknowledged;
      end(connection, withWill);
      connection.port.broken(wasUp);
    }
  }

  private void end(Connection connection, boolean withWill) {
    if (!connection.open) {
      return;
    }
    connection.open = false;
    Link link = connection.link;
    link.countLost(connection.up.abandon(this) + connection.down.abandon(this));
    Session session = sessions.get(link.clientId());
    if (session != null && session.connection == connection) {
      session.settleAll(link.heardUntil());
      session.endsAt = time.now() + sessionExpiryMicros;
      Message will = connection.port.will();
      if (withWill && !will.topic().isEmpty()) {
        tellPublished(link.clientId(), will);
        distribute(will);
      }
    }
  }

  private void tellPublished(String from, Message message) {
    for (WireTap tap : taps) {
      tap.published(time.now(), from, message);
    }
  }

  private Route route(String topic) {
    Route known = routes.get(topic);
    if (known != null) {
      return known;
    }
    String[] levels = TopicFilter.levelsOf(topic);
    List<Session> receivers = new ArrayList<>();
    for (Session session : sessions.values()) {
      if (session.qosFor(levels) != Session.UNMATCHED) {
        receivers.add(session);
      }
    }
    Route route =
        new Route(
            receivers.toArray(new Session[0]),
            receivers.stream().mapToInt(session -> session.qosFor(levels)).toArray());
    if (routes.size() >= ROUTES_REMEMBERED) {
      routes.clear();
    }
    routes.put(topic, route);
    return route;
  }

  private static Message variant(Message message, int qos, boolean retain) {
    if (message.qos() == qos && message.retain() == retain) {
      return message;
    }
    return copy(message, qos, retain, message.expirySeconds());
  }

  /** With the expiry that is left, in whole seconds begun (3.3.2.3.3). */
  private Message aged(Message message, long deadline) {
    if (deadline == VirtualTime.NEVER) {
      return message;
    }
    long left = (deadline - time.now() + MICROS_PER_SECOND - 1) / MICROS_PER_SECOND;
    return copy(message, message.qos(), message.retain(), (int) left);
  }

  private static Message copy(Message message, int qos, boolean retain, int expirySeconds) {
    return new Message(
        message.topic(),
        message.payload(),
        qos,
        retain,
        expirySeconds,
        message.responseTopic(),
        message.correlation());
  }
}
