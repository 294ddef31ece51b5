package islet.live;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.TimeUnit;

/** A broker of other make as a process of its own on this machine, which may be killed. */
final class Mosquitto implements AutoCloseable {

  /** Where Debian and its kin install it. */
  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

  private static final int START_ATTEMPTS = 100;

  private final Path folder;
  private final int port;
  private Process process;

  /**
   * Starts it.
   *
   * @param folder where its files go
   * @param persistent whether it keeps sessions and retained messages on disk
   */
  Mosquitto(Path folder, boolean persistent) throws IOException, InterruptedException {
    this.folder = folder;
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = socket.getLocalPort();
    }
    Files.createDirectories(folder);
    Files.writeString(
        folder.resolve("mosquitto.conf"),
        """
        listener %d 127.0.0.1
        allow_anonymous true
        persistence %s
        persistence_location %s/
        autosave_interval 1
        autosave_on_changes true
        set_tcp_nodelay true
        max_queued_messages 10000
        user root
        """
            .formatted(port, persistent, folder));
    process = launch();
    awaitAnswer();
  }

  /** Skips a test where it is missing, except on a build server. */
  static void insistOnInstalled() {
    boolean installed = Files.isExecutable(PROGRAM);
    assertFalse(
        !installed && "true".equals(System.getenv("CI")),
        PROGRAM + " is missing, and on a build server this test must not be left out.");
    assumeTrue(installed, PROGRAM + " is not installed; install the package mosquitto.");
  }

  private Process launch() throws IOException {
    return new ProcessBuilder(PROGRAM.toString(), "-c", folder.resolve("mosquitto.conf").toString())
        .redirectErrorStream(true)
        .redirectOutput(ProcessBuilder.Redirect.appendTo(folder.resolve("mosquitto.log").toFile()))
        .start();
  }

  private void awaitAnswer() throws InterruptedException {
    for (int attempt = 0; attempt < START_ATTEMPTS; attempt++) {
      try {
        PahoBroker.probe(url(), Duration.ofSeconds(1));
        return;
      } catch (BrokerUnreachableException e) {
        Thread.sleep(50);
      }
    }
    throw new IllegalStateException("mosquitto did not start on port " + port + ".");
  }

  String url() {
    return "tcp://127.0.0.1:" + port;
  }

  int port() {
    return port;
  }

  long pid() {
    return process.pid();
  }

  /** SIGKILL: it saves nothing and says nothing. */
  void kill() throws InterruptedException {
    process.destroyForcibly();
    process.waitFor(5, TimeUnit.SECONDS);
  }

  /** Starts it again with the files that it left. */
  void restart() throws IOException {
    process = launch();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(5, TimeUnit.SECONDS)) {
        process.destroyForcibly();
      }
    } catch (InterruptedException e) {
      process.destroyForcibly();
      Thread.currentThread().interrupt();
    }
  }
}
