package islet.live;

import java.util.ArrayList;
import java.util.List;

/**
 * Where the embedded broker listens.
 *
 * @param tcpPort for MQTT over TCP from this machine, 1 to 65535; 0 for one that is free
 * @param webSocketPort for MQTT over WebSocket from this machine, which is what a browser speaks; 0
 *     for none
 * @param tls for MQTT with TLS; may be none
 */
public record Listeners(int tcpPort, int webSocketPort, List<TlsListener> tls) {

  /** The path at which a WebSocket is asked for; common practice. */
  public static final String WEB_SOCKET_PATH = "/mqtt";

  /** Copies the list. */
  public Listeners {
    tls = List.copyOf(tls);
  }

  /** Listeners without TLS. */
  public Listeners(int tcpPort, int webSocketPort) {
    this(tcpPort, webSocketPort, List.of());
  }

  Listeners withTcpPort(int port) {
    return new Listeners(port, webSocketPort, tls);
  }

  /** The same with MQTT over WebSocket at a port. */
  public Listeners withWebSocketPort(int port) {
    return new Listeners(tcpPort, port, tls);
  }

  /** The ports that are listened on. */
  List<Integer> ports() {
    List<Integer> ports = new ArrayList<>();
    ports.add(tcpPort);
    if (webSocketPort > 0) {
      ports.add(webSocketPort);
    }
    tls.forEach(listener -> ports.add(listener.port()));
    return List.copyOf(ports);
  }

  /**
   * The elements of the broker's own configuration.
   *
   * @param address this machine's own
   * @param stores the certificates of the listeners with TLS, in their order
   */
  String elements(String address, List<TlsStores> stores) {
    StringBuilder elements =
        new StringBuilder(
            """
            <tcp-listener>
              <port>%d</port>
              <bind-address>%s</bind-address>
            </tcp-listener>
            """
                .formatted(tcpPort, address));
    if (webSocketPort > 0) {
      elements.append(
          """
          <websocket-listener>
            <port>%d</port>
            <bind-address>%s</bind-address>
            <path>%s</path>
            <subprotocols>
              <subprotocol>mqtt</subprotocol>
            </subprotocols>
          </websocket-listener>
          """
              .formatted(webSocketPort, address, WEB_SOCKET_PATH));
    }
    for (int i = 0; i < tls.size(); i++) {
      elements.append(
          """
          <tls-tcp-listener>
            <port>%d</port>
            <bind-address>%s</bind-address>
            %s
          </tls-tcp-listener>
          """
              .formatted(tls.get(i).port(), tls.get(i).address(), stores.get(i).element()));
    }
    return elements.toString();
  }
}
