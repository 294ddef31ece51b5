package islet.mqtt;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import javax.net.SocketFactory;

/**
 * Makes the sockets of one attempt to connect, without Nagle's algorithm (which costs 40 ms a QoS 1
 * exchange together with delayed acknowledgement, measured), and keeps hold of them: closing the
 * socket is the one sure way to be rid of a client that hangs.
 */
final class Sockets extends SocketFactory {

  private final List<Socket> sockets = new ArrayList<>(1);
  private boolean closed;

  @Override
  public synchronized Socket createSocket() throws IOException {
    if (closed) {
      throw new IOException("This attempt to connect has been given up.");
    }
    Socket socket = new Socket();
    socket.setTcpNoDelay(true);
    sockets.add(socket);
    return socket;
  }

  /** Closes what was made and makes no more. */
  synchronized void close() {
    closed = true;
    for (Socket socket : sockets) {
      try {
        socket.close();
      } catch (IOException e) {
        // A socket that cannot be closed properly is unusable too, which is all that is wanted.
        throw new UncheckedIOException(e);
      }
    }
    sockets.clear();
  }

  @Override
  public Socket createSocket(String host, int port) {
    throw unused();
  }

  @Override
  public Socket createSocket(String host, int port, InetAddress localHost, int localPort) {
    throw unused();
  }

  @Override
  public Socket createSocket(InetAddress host, int port) {
    throw unused();
  }

  @Override
  public Socket createSocket(
      InetAddress address, int port, InetAddress localAddress, int localPort) {
    throw unused();
  }

  private static UnsupportedOperationException unused() {
    return new UnsupportedOperationException(
        "The MQTT client was expected to ask for an unconnected socket.");
  }
}
