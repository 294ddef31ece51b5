package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import islet.metrics.MetricsServer;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * The health check of containers, judged by the exit codes that a container engine takes: 0 is
 * healthy, 1 is not (Docker's reference of HEALTHCHECK, from memory).
 */
@Execution(ExecutionMode.CONCURRENT)
@Timeout(30)
@Tag("apart")
class HealthCommandTest {

  private final StringWriter err = new StringWriter();

  private int health(String port) {
    return Main.run(
        new String[] {"health", port}, new PrintWriter(new StringWriter()), new PrintWriter(err));
  }

  private int healthOf(Supplier<String> page) throws IOException {
    InetSocketAddress free = new InetSocketAddress(InetAddress.getLoopbackAddress(), 0);
    try (MetricsServer server = new MetricsServer(free, System::nanoTime)) {
      server.start(() -> page.get().getBytes(StandardCharsets.UTF_8));
      return health(String.valueOf(server.port()));
    }
  }

  @Test
  void aControllerThatScansOnItsLinkIsHealthy() throws IOException {
    AtomicLong scans = new AtomicLong();
    assertEquals(
        0,
        healthOf(
            () -> "islet_scans_total " + scans.incrementAndGet() + "\nislet_link_up 1\n# EOF\n"));
  }

  @Test
  void devicesWhoseTimeGoesOnAreHealthy() throws IOException {
    AtomicLong seconds = new AtomicLong();
    assertEquals(
        0,
        healthOf(
            () ->
                "islet_link_up 1\nislet_site_seconds_total "
                    + seconds.incrementAndGet()
                    + "\n# EOF\n"));
  }

  @Test
  void scansThatStandStillAreNot() throws IOException {
    assertEquals(1, healthOf(() -> "islet_scans_total 7\nislet_link_up 1\n# EOF\n"));
    assertTrue(err.toString().contains("Work stands still"), err.toString());
  }

  @Test
  @LongTest
  void aLinkThatIsDownIsNot() throws IOException {
    AtomicLong scans = new AtomicLong();
    assertEquals(
        1,
        healthOf(
            () -> "islet_scans_total " + scans.incrementAndGet() + "\nislet_link_up 0\n# EOF\n"));
    assertTrue(err.toString().contains("link to the broker is down"), err.toString());
  }

  @Test
  void aPageThatTellsNeitherIsNot() throws IOException {
    assertEquals(1, healthOf(() -> "# EOF\n"));
    assertTrue(err.toString().contains("does not tell of a link"), err.toString());
  }

  @Test
  void whereNobodyAnswersNobodyIsHealthy() throws IOException {
    int free;
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      free = socket.getLocalPort();
    }
    assertEquals(1, health(String.valueOf(free)));
  }

  @Test
  void whatIsNoPortIsWrongInput() {
    assertEquals(2, health("tcp"));
    assertTrue(err.toString().contains("found \"tcp\"; allowed is "), err.toString());
  }
}
