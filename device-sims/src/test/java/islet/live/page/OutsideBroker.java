package islet.live.page;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.live.EmbeddedBroker;
import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;

/**
 * A broker of other make with a WebSocket, as a process of its own that may be ended and started
 * again at its ports: open to everybody of this machine, or with accounts and the project's own
 * access list. Its log tells who has published.
 */
final class OutsideBroker implements AutoCloseable {

  /** Where Debian and its kin install them. */
  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

  private static final Path PASSWORDS = Path.of("/usr/bin/mosquitto_passwd");

  /** Half a minute, as a busy machine may need. */
  private static final int START_ATTEMPTS = 600;

  private final Path folder;
  private final int port = EmbeddedBroker.freePort();
  private final int web = EmbeddedBroker.freePort();
  private Process process;

  /**
   * Starts it.
   *
   * @param accounts who may come, each with his name as his password; empty for everybody
   */
  OutsideBroker(Path folder, List<String> accounts) throws Exception {
    this.folder = folder;
    Files.createDirectories(folder);
    for (String account : accounts) {
      Path hashes = folder.resolve("passwords");
      boolean first = !Files.exists(hashes);
      Process made =
          new ProcessBuilder(
                  first
                      ? List.of(
                          PASSWORDS.toString(), "-b", "-c", hashes.toString(), account, account)
                      : List.of(PASSWORDS.toString(), "-b", hashes.toString(), account, account))
              .start();
      if (made.waitFor() != 0) {
        throw new IllegalStateException(PASSWORDS + " ended with " + made.exitValue());
      }
      Path secret = folder.resolve(account);
      Files.writeString(secret, account + "\n");
      Files.setPosixFilePermissions(
          secret, java.nio.file.attribute.PosixFilePermissions.fromString("rw-------"));
    }
    String let =
        accounts.isEmpty()
            ? "allow_anonymous true\n"
            : "allow_anonymous false\npassword_file %s\nacl_file %s\n"
                .formatted(folder.resolve("passwords"), PageRun.ROOT.resolve("config/broker/acl"));
    Files.writeString(
        folder.resolve("mosquitto.conf"),
        """
        %slog_type all
        set_tcp_nodelay true
        user root
        listener %d 127.0.0.1
        listener %d 127.0.0.1
        protocol websockets
        """
            .formatted(let, port, web));
    process = launch();
  }

  /** Skips a test where it is missing, except on a build server. */
  static void insistOnInstalled() {
    boolean installed = Files.isExecutable(PROGRAM) && Files.isExecutable(PASSWORDS);
    assertFalse(
        !installed && "true".equals(System.getenv("CI")),
        PROGRAM + " is missing, and on a build server this test must not be left out.");
    assumeTrue(installed, PROGRAM + " is not installed; install the package mosquitto.");
  }

  private Process launch() throws IOException, InterruptedException {
    Process launched =
        new ProcessBuilder(PROGRAM.toString(), "-c", folder.resolve("mosquitto.conf").toString())
            .redirectErrorStream(true)
            .redirectOutput(
                ProcessBuilder.Redirect.appendTo(folder.resolve("mosquitto.log").toFile()))
            .start();
    for (int attempt = 0; attempt < START_ATTEMPTS; attempt++) {
      try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), web)) {
        if (socket.isConnected()) {
          return launched;
        }
      } catch (IOException e) {
        Thread.sleep(50);
      }
    }
    launched.destroyForcibly();
    throw new IllegalStateException("mosquitto did not start: " + log());
  }

  String url() {
    return "tcp://127.0.0.1:" + port;
  }

  String webSocket() {
    return "ws://127.0.0.1:" + web + "/mqtt";
  }

  /** The file with an account's password. */
  String passwordFile(String account) {
    return folder.resolve(account).toString();
  }

  String log() throws IOException {
    return Files.readString(folder.resolve("mosquitto.log"));
  }

  /** SIGKILL: it says nothing to anybody. */
  void kill() throws InterruptedException {
    process.destroyForcibly();
    process.waitFor(5, TimeUnit.SECONDS);
  }

  /** Starts it again at its ports. */
  void restart() throws IOException, InterruptedException {
    process = launch();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
