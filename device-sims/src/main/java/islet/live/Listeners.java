package islet.live;

import java.util.ArrayList;
import java.util.List;

/**
 * Where the embedded broker listens.
 *
 * @param tcpPort for MQTT over TCP, 1 to 65535
 * @param webSocketPort for MQTT over WebSocket, which is what a browser speaks; 0 for none
 */
public record Listeners(int tcpPort, int webSocketPort) {

  /** The path at which a WebSocket is asked for; common practice. */
  public static final String WEB_SOCKET_PATH = "/mqtt";

  /** The ports that are listened on. */
  List<Integer> ports() {
    List<Integer> ports = new ArrayList<>();
    ports.add(tcpPort);
    if (webSocketPort > 0) {
      ports.add(webSocketPort);
    }
    return List.copyOf(ports);
  }

  /** The elements of the broker's own configuration. */
  String elements(String address) {
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
    return elements.toString();
  }
}
