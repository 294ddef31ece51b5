package islet.mqtt;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * Where a broker is.
 *
 * @param transport how MQTT travels there
 * @param host name or address; an IPv6 address in brackets
 * @param port TCP port, 1 to 65535
 * @param path of a WebSocket, such as {@code /mqtt}; empty otherwise
 */
record BrokerUrl(Transport transport, String host, int port, String path) {

  private static final int HIGHEST_PORT = 65_535;

  /** The whole block is the machine itself: RFC 1122, 3.2.1.3, from memory. */
  private static final Pattern LOOPBACK = Pattern.compile("127(\\.\\d{1,3}){3}");

  /** What most brokers take for a WebSocket; common practice. */
  private static final String USUAL_PATH = "/mqtt";

  /**
   * Reads an address.
   *
   * @throws IllegalArgumentException with a sentence, when it is no address of a broker
   */
  static BrokerUrl parse(String text) {
    URI uri;
    try {
      uri = new URI(text);
    } catch (URISyntaxException e) {
      throw new IllegalArgumentException(complaint(text), e);
    }
    Optional<Transport> transport = transport(String.valueOf(uri.getScheme()));
    String host = uri.getHost();
    if (transport.isEmpty() || host == null || !nothingMore(uri, transport.get())) {
      throw new IllegalArgumentException(complaint(text));
    }
    int port = uri.getPort() == -1 ? transport.get().usualPort() : uri.getPort();
    if (port < 1 || port > HIGHEST_PORT) {
      throw new IllegalArgumentException(complaint(text));
    }
    return new BrokerUrl(transport.get(), host, port, path(transport.get(), uri.getPath()));
  }

  private static Optional<Transport> transport(String scheme) {
    if (scheme.equals("mqtt")) {
      return Optional.of(Transport.TCP);
    }
    for (Transport transport : Transport.values()) {
      if (scheme.equals(transport.scheme())) {
        return Optional.of(transport);
      }
    }
    return Optional.empty();
  }

  private static String path(Transport transport, String found) {
    if (!transport.web()) {
      return "";
    }
    return isNone(found) ? USUAL_PATH : found;
  }

  private static boolean isNone(String path) {
    return path.isEmpty() || path.equals("/");
  }

  private static boolean nothingMore(URI uri, Transport transport) {
    return uri.getUserInfo() == null
        && uri.getQuery() == null
        && uri.getFragment() == null
        && (transport.web() || isNone(uri.getPath()));
  }

  private static String complaint(String text) {
    return "\""
        + text
        + "\" is not the address of a broker. Write tcp://HOST:PORT, ssl://HOST:PORT,"
        + " ws://HOST:PORT/PATH or wss://HOST:PORT/PATH, for instance tcp://127.0.0.1:1883, with a"
        + " port from 1 to 65535 and nothing after it.";
  }

  /**
   * Whether the address is this machine's own by its letters: {@code localhost}, 127.x.x.x or ::1.
   * Other names are not looked up, since what they mean may change.
   */
  boolean isLoopback() {
    String name = host.toLowerCase(Locale.ROOT);
    return name.equals("localhost") || name.equals("[::1]") || LOOPBACK.matcher(name).matches();
  }

  /** The form that the client library wants. */
  String forPaho() {
    return transport.scheme() + "://" + host + ":" + port + path;
  }

  @Override
  public String toString() {
    return forPaho();
  }
}
