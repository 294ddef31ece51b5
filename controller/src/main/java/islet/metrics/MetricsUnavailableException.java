package islet.metrics;

import java.io.IOException;
import java.net.InetSocketAddress;

/** The metrics have no place to be offered at; the message is a sentence for the user. */
public final class MetricsUnavailableException extends IOException {

  private static final long serialVersionUID = 1L;

  MetricsUnavailableException(InetSocketAddress address, IOException cause) {
    super(
        "The metrics cannot be offered at "
            + address.getHostString()
            + ":"
            + address.getPort()
            + " ("
            + cause.getMessage()
            + "). Name another port with --metrics.",
        cause);
  }
}
