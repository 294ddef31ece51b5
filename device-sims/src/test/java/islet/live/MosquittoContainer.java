package islet.live;

import com.github.dockerjava.api.exception.NotFoundException;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.time.Duration;
import org.testcontainers.DockerClientFactory;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.containers.wait.strategy.AbstractWaitStrategy;
import org.testcontainers.utility.DockerImageName;

/** A broker of other make in a container of its own, without accounts. */
final class MosquittoContainer implements AutoCloseable {

  private static final int INSIDE = 1883;

  private static final String IMAGE =
      System.getenv().getOrDefault("ISLET_MOSQUITTO_IMAGE", "eclipse-mosquitto:2");

  private static final String SETTINGS =
      """
      listener 1883
      allow_anonymous true
      persistence false
      set_tcp_nodelay true
      user root
      """;

  private final GenericContainer<?> container;

  /**
   * Starts it, from the image {@code ISLET_MOSQUITTO_IMAGE} of the environment, or from a public
   * one.
   */
  MosquittoContainer() {
    container =
        new GenericContainer<>(DockerImageName.parse(IMAGE))
            .withEnv("SETTINGS", SETTINGS)
            .withCommand(
                "sh",
                "-c",
                "printf %s \"$SETTINGS\" >/tmp/broker.conf; exec mosquitto -c /tmp/broker.conf")
            .withExposedPorts(INSIDE)
            .waitingFor(new Answer());
    container.start();
  }

  /**
   * Whether a Docker engine answers and has the image. A test fetches none, since without a
   * registry that takes minutes to fail.
   */
  static boolean isPossible() {
    if (!DockerClientFactory.instance().isDockerAvailable()) {
      return false;
    }
    try {
      var unused = DockerClientFactory.instance().client().inspectImageCmd(IMAGE).exec();
      return true;
    } catch (NotFoundException e) {
      return false;
    }
  }

  /** Its port on this machine. */
  int port() {
    return container.getMappedPort(INSIDE);
  }

  @Override
  public void close() {
    container.stop();
  }

  /** Started is who answers in MQTT 5. */
  private static final class Answer extends AbstractWaitStrategy {

    private static final int ATTEMPTS = 50;

    @Override
    protected void waitUntilReady() {
      String url = "tcp://127.0.0.1:" + waitStrategyTarget.getMappedPort(INSIDE);
      for (int attempt = 0; attempt < ATTEMPTS; attempt++) {
        try {
          PahoBroker.probe(url, Duration.ofSeconds(1));
          return;
        } catch (BrokerUnreachableException e) {
          pause();
        }
      }
      throw new IllegalStateException("Mosquitto did not answer at " + url + " within 10 s.");
    }

    private static void pause() {
      try {
        Thread.sleep(200);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new IllegalStateException("The start of the broker was interrupted.", e);
      }
    }
  }
}
