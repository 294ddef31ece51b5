package islet.live;

import islet.bench.TopicFilter;
import islet.bench.VirtualTime;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;

/**
 * The messages of a live run that are on their way, so that site time can wait for them. The faster
 * a run, the longer a message is under way in site time; without waiting, devices and supervisor
 * would look dead to each other for no reason but the speed. With it, a run goes as fast as its
 * link and falls behind the wall clock where that is not fast enough.
 *
 * <p>Who gets a message follows from the subscriptions. A client that has been waited for in vain
 * counts as cut off, and nobody waits for it until it hears something again: real losses are to be
 * felt. Not safe for several threads: belongs to the one that owns site time.
 */
final class InFlight {

  /**
   * Waiting longer is in vain, ns of wall time: many times what a message takes through a local
   * broker (2 to 3 ms at the worst of a hundred, measured), and what a person hardly notices.
   */
  private static final long VAIN_NANOS = 250_000_000;

  private record Awaited(String topic, long sentMicros, long sentNanos) {}

  private static final class Client {
    final List<TopicFilter> filters = new ArrayList<>();
    final ArrayDeque<Awaited> awaited = new ArrayDeque<>();
    boolean reachable;
  }

  private final long mostMicros;
  private final LongSupplier wallNanos;
  private final Map<String, Client> clients = new LinkedHashMap<>();
  private final Map<String, List<Client>> receivers = new HashMap<>();

  /**
   * Nothing is on its way.
   *
   * @param mostMicros how long a message may be on its way before site time waits, µs of site time
   * @param wallNanos a steady clock, ns
   */
  InFlight(long mostMicros, LongSupplier wallNanos) {
    this.mostMicros = mostMicros;
    this.wallNanos = wallNanos;
  }

  private Client client(String id) {
    return clients.computeIfAbsent(id, unknown -> new Client());
  }

  void subscribes(String id, String filter) {
    client(id).filters.add(new TopicFilter(filter));
    receivers.clear();
  }

  void linked(String id, boolean up) {
    Client client = client(id);
    client.reachable = up;
    client.awaited.clear();
  }

  void sent(String topic, long siteMicros) {
    for (Client client : receivers.computeIfAbsent(topic, this::receiversOf)) {
      if (client.reachable) {
        client.awaited.add(new Awaited(topic, siteMicros, wallNanos.getAsLong()));
      }
    }
  }

  private List<Client> receiversOf(String topic) {
    String[] levels = TopicFilter.levelsOf(topic);
    return clients.values().stream()
        .filter(client -> client.filters.stream().anyMatch(filter -> filter.matches(levels)))
        .toList();
  }

  void arrived(String id, String topic) {
    Client client = client(id);
    client.reachable = true;
    for (Awaited awaited : client.awaited) {
      if (awaited.topic.equals(topic)) {
        client.awaited.remove(awaited);
        return;
      }
    }
  }

  /** The latest instant to which site time may go before the next message has arrived. */
  long latestMicros() {
    long latest = VirtualTime.NEVER;
    for (Client client : clients.values()) {
      if (client.awaited.isEmpty()) {
        continue;
      }
      Awaited oldest = client.awaited.element();
      if (wallNanos.getAsLong() - oldest.sentNanos > VAIN_NANOS) {
        client.reachable = false;
        client.awaited.clear();
      } else {
        latest = Math.min(latest, oldest.sentMicros + mostMicros);
      }
    }
    return latest;
  }
}
