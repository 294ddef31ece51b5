package islet.mqtt;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import javax.net.SocketFactory;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSocket;

/**
 * Makes the sockets of one attempt to connect, without Nagle's algorithm (which costs 40 ms a QoS 1
 * exchange together with delayed acknowledgement, measured), and keeps hold of them: closing the
 * socket is the one sure way to be rid of a client that hangs.
 *
 * <p>Over TLS it speaks version 1.3 (RFC 8446) and nothing older, and asks for a certificate that
 * names the host (RFC 2818, section 3.1, from memory) whatever the client library does.
 */
final class Sockets {

  private static final String[] PROTOCOLS = {"TLSv1.3"};

  private final List<Socket> sockets = new ArrayList<>(1);
  private boolean closed;

  /** The factory that the client library is to use. */
  SocketFactory factory(Transport transport, Access access) {
    return transport.encrypted()
        ? new SecureSocketFactory(this, access.tls().getSocketFactory())
        : new PlainSocketFactory(this);
  }

  Socket plain() throws IOException {
    return kept(new Socket());
  }

  Socket secure(Socket made) throws IOException {
    SSLSocket socket = (SSLSocket) made;
    socket.setEnabledProtocols(PROTOCOLS);
    SSLParameters parameters = socket.getSSLParameters();
    parameters.setEndpointIdentificationAlgorithm("HTTPS");
    socket.setSSLParameters(parameters);
    return kept(socket);
  }

  private synchronized Socket kept(Socket socket) throws IOException {
    if (closed) {
      socket.close();
      throw new IOException("This attempt to connect has been given up.");
    }
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

  static UnsupportedOperationException unused() {
    return new UnsupportedOperationException(
        "The MQTT client was expected to ask for an unconnected socket.");
  }
}
