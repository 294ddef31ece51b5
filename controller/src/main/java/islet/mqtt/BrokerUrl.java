package islet.mqtt;

import java.net.URI;
import java.net.URISyntaxException;

/**
 * Where a broker is.
 *
 * @param host name or address
 * @param port TCP port, 1 to 65535
 */
record BrokerUrl(String host, int port) {

  /** Registered for MQTT without TLS: OASIS MQTT Version 5.0, 4.2, from memory. */
  private static final int USUAL_PORT = 1883;

  private static final int HIGHEST_PORT = 65_535;

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
    String scheme = String.valueOf(uri.getScheme());
    String host = uri.getHost();
    int port = uri.getPort() == -1 ? USUAL_PORT : uri.getPort();
    boolean known = scheme.equals("tcp") || scheme.equals("mqtt");
    if (!known || host == null || port < 1 || port > HIGHEST_PORT || !nothingMore(uri)) {
      throw new IllegalArgumentException(complaint(text));
    }
    return new BrokerUrl(host, port);
  }

  private static boolean nothingMore(URI uri) {
    return uri.getUserInfo() == null
        && uri.getQuery() == null
        && uri.getFragment() == null
        && (uri.getPath().isEmpty() || uri.getPath().equals("/"));
  }

  private static String complaint(String text) {
    return "\""
        + text
        + "\" is not the address of a broker. Write tcp://HOST:PORT, for instance"
        + " tcp://127.0.0.1:1883, with a port from 1 to 65535 and nothing after it.";
  }

  /** The form that the client library wants. */
  String forPaho() {
    return "tcp://" + host + ":" + port;
  }

  @Override
  public String toString() {
    return forPaho();
  }
}
