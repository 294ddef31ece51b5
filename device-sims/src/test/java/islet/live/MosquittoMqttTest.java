package islet.live;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.bench.MqttGround;
import islet.bench.MqttSemantics;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** A second real broker of other make under the suite of MQTT semantics. */
@Execution(ExecutionMode.CONCURRENT)
class MosquittoMqttTest extends MqttSemantics {

  /** Where Debian and its kin install it. */
  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

  private static final int START_ATTEMPTS = 50;

  private static Process broker;
  private static int port;

  @BeforeAll
  static void start(@TempDir Path folder) throws IOException, InterruptedException {
    boolean installed = Files.isExecutable(PROGRAM);
    assertFalse(
        !installed && "true".equals(System.getenv("CI")),
        PROGRAM + " is missing, and on a build server this test must not be left out.");
    assumeTrue(installed, PROGRAM + " is not installed; install the package mosquitto.");
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = socket.getLocalPort();
    }
    Path configuration = folder.resolve("mosquitto.conf");
    Files.writeString(
        configuration,
        """
        listener %d 127.0.0.1
        allow_anonymous true
        persistence false
        set_tcp_nodelay true
        user root
        """
            .formatted(port));
    broker =
        new ProcessBuilder(PROGRAM.toString(), "-c", configuration.toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("mosquitto.log").toFile())
            .start();
    awaitAnswer();
  }

  private static void awaitAnswer() throws InterruptedException {
    for (int attempt = 0; attempt < START_ATTEMPTS; attempt++) {
      try {
        PahoBroker.probe("tcp://127.0.0.1:" + port, Duration.ofSeconds(1));
        return;
      } catch (BrokerUnreachableException e) {
        Thread.sleep(100);
      }
    }
    throw new IllegalStateException("mosquitto did not start on port " + port + " within 5 s.");
  }

  @AfterAll
  static void stop() throws InterruptedException {
    if (broker != null) {
      broker.destroy();
      broker.waitFor(5, TimeUnit.SECONDS);
    }
  }

  /** Version 2.0.11 closes the first connection without a DISCONNECT: seen in its own log. */
  @Override
  protected boolean tellsOfTakeOver() {
    return false;
  }

  @Override
  protected MqttGround ground() {
    return new RealGround(port, SESSION_EXPIRY_SECONDS);
  }
}
