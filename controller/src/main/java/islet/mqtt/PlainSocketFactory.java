package islet.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import javax.net.SocketFactory;

/** Sockets without TLS, unconnected, which is what the client library asks for. */
final class PlainSocketFactory extends SocketFactory {

  private final Sockets sockets;

  PlainSocketFactory(Sockets sockets) {
    this.sockets = sockets;
  }

  @Override
  public Socket createSocket() throws IOException {
    return sockets.plain();
  }

  @Override
  public Socket createSocket(String host, int port) {
    throw Sockets.unused();
  }

  @Override
  public Socket createSocket(String host, int port, InetAddress localHost, int localPort) {
    throw Sockets.unused();
  }

  @Override
  public Socket createSocket(InetAddress host, int port) {
    throw Sockets.unused();
  }

  @Override
  public Socket createSocket(
      InetAddress address, int port, InetAddress localAddress, int localPort) {
    throw Sockets.unused();
  }
}
