package islet.live;

import islet.metrics.MetricsServer;
import islet.metrics.MetricsUnavailableException;
import islet.metrics.Pulse;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.Optional;

/** The few metrics of simulated devices: what a health check needs, in the OpenMetrics format. */
public final class DevicesPage implements AutoCloseable {

  private static final long MICROS_PER_SECOND = 1_000_000;

  private final Optional<MetricsServer> server;

  private DevicesPage(Optional<MetricsServer> server) {
    this.server = server;
  }

  /**
   * Takes the port; nobody is answered yet.
   *
   * @param address where; empty for nowhere
   * @throws MetricsUnavailableException when the address cannot be had
   */
  public static DevicesPage at(Optional<InetSocketAddress> address)
      throws MetricsUnavailableException {
    if (address.isEmpty()) {
      return new DevicesPage(Optional.empty());
    }
    return new DevicesPage(Optional.of(new MetricsServer(address.get(), System::nanoTime)));
  }

  /** Answers from now on. */
  public void answerFor(DevicesRun run) {
    long startMicros = run.now();
    server.ifPresent(
        s -> s.start(() -> page(run.linked(), (run.now() - startMicros) / MICROS_PER_SECOND)));
  }

  /** Where the page is, when it is offered. */
  public Optional<String> url() {
    return server.map(MetricsServer::url);
  }

  private static byte[] page(boolean linked, long seconds) {
    String text =
        "# TYPE islet_link_up gauge\n"
            + "# HELP islet_link_up 1 while all devices are connected to the broker.\n"
            + (Pulse.LINK + " " + (linked ? 1 : 0) + "\n")
            + "# TYPE islet_site_seconds counter\n"
            + "# UNIT islet_site_seconds seconds\n"
            + "# HELP islet_site_seconds Seconds of the site that were played.\n"
            + (Pulse.SECONDS + " " + seconds + "\n")
            + "# EOF\n";
    return text.getBytes(StandardCharsets.UTF_8);
  }

  @Override
  public void close() {
    server.ifPresent(MetricsServer::close);
  }
}
