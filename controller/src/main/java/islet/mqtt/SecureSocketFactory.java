package islet.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import javax.net.ssl.SSLSocketFactory;

/** Sockets with TLS, unconnected, which is what the client library asks for. */
final class SecureSocketFactory extends SSLSocketFactory {

  private final Sockets sockets;
  private final SSLSocketFactory maker;

  SecureSocketFactory(Sockets sockets, SSLSocketFactory maker) {
    this.sockets = sockets;
    this.maker = maker;
  }

  @Override
  public Socket createSocket() throws IOException {
    return sockets.secure(maker.createSocket());
  }

  @Override
  public String[] getDefaultCipherSuites() {
    return maker.getDefaultCipherSuites();
  }

  @Override
  public String[] getSupportedCipherSuites() {
    return maker.getSupportedCipherSuites();
  }

  @Override
  public Socket createSocket(Socket socket, String host, int port, boolean autoClose) {
    throw Sockets.unused();
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
