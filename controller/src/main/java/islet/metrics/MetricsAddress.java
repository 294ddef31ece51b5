package islet.metrics;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;

/** Where the end point listens: {@code PORT} on the loopback address, or {@code ADDRESS:PORT}. */
public final class MetricsAddress {

  private static final int HIGHEST_PORT = 65_535;

  private MetricsAddress() {}

  /**
   * Reads an address.
   *
   * @param text a port from 0 to 65535, where 0 means any free one; an address and a colon may
   *     stand before it, an IPv6 address in square brackets
   * @throws IllegalArgumentException with a sentence when it is no such address
   */
  public static InetSocketAddress parse(String text) {
    int colon = text.lastIndexOf(':');
    String host = colon < 0 ? "127.0.0.1" : text.substring(0, colon);
    try {
      int port = Integer.parseInt(text.substring(colon + 1));
      if (port < 0 || port > HIGHEST_PORT || host.isEmpty()) {
        throw new IllegalArgumentException(complaint(text));
      }
      return new InetSocketAddress(InetAddress.getByName(host), port);
    } catch (NumberFormatException e) {
      throw new IllegalArgumentException(complaint(text), e);
    } catch (UnknownHostException e) {
      throw new IllegalArgumentException(complaint(text), e);
    }
  }

  private static String complaint(String text) {
    return "--metrics: found \""
        + text
        + "\"; allowed is a port from 0 to 65535, such as 9464, or an address of this machine and"
        + " a port, such as 127.0.0.1:9464. Without an address only this machine is answered.";
  }
}
