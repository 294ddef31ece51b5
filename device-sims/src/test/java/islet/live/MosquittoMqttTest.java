package islet.live;

import static org.junit.jupiter.api.Assertions.assertFalse;

import islet.bench.MqttGround;
import islet.bench.MqttSemantics;
import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * A second real broker of other make under the suite of MQTT semantics: in a container where a
 * Docker engine answers and has the image, else the installed program.
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class MosquittoMqttTest extends MqttSemantics {

  private static AutoCloseable broker = () -> {};
  private static int port;

  @BeforeAll
  static void start(@TempDir Path folder) throws IOException, InterruptedException {
    boolean container = MosquittoContainer.isPossible();
    assertFalse(
        !container
            && "true".equals(System.getenv("CI"))
            && System.getenv("CI_WITHOUT_DOCKER") == null,
        "No Docker engine with the broker's image answers, and on a build server the container must"
            + " not be left out: .ci/run sees to both, or sets CI_WITHOUT_DOCKER where the machine"
            + " does not allow an engine.");
    if (container) {
      MosquittoContainer started = new MosquittoContainer();
      broker = started;
      port = started.port();
    } else {
      Mosquitto.insistOnInstalled();
      Mosquitto started = new Mosquitto(folder, false);
      broker = started;
      port = started.port();
    }
  }

  @AfterAll
  static void stop() throws Exception {
    broker.close();
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
