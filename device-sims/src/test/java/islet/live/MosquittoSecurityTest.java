package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Mosquitto with the project's own settings and access list under the suite of accounts and
 * certificates. Only ports are changed, and a second listener demands client certificates.
 */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class MosquittoSecurityTest extends WireSecurity {

  /** Where Debian and its kin install it. */
  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

  private static final int START_ATTEMPTS = 100;

  private static Path secrets = Path.of("");
  private static Path others = Path.of("");
  private static Process broker;
  private static int plain;
  private static int tls;
  private static int certificates;

  @BeforeAll
  static void start(@TempDir Path folder) throws Exception {
    boolean installed = Files.isExecutable(PROGRAM);
    assertFalse(
        !installed && "true".equals(System.getenv("CI")),
        PROGRAM + " is missing, and on a build server this test must not be left out.");
    assumeTrue(installed, PROGRAM + " is not installed; install the package mosquitto.");
    secrets = folder.resolve("secrets");
    others = folder.resolve("others");
    makeSecrets(secrets);
    makeSecrets(others);
    plain = EmbeddedBroker.freePort();
    tls = EmbeddedBroker.freePort();
    certificates = EmbeddedBroker.freePort();
    Files.copy(broker().resolve("acl"), folder.resolve("acl"));
    Files.writeString(folder.resolve("mosquitto.conf"), settings());
    broker =
        new ProcessBuilder(PROGRAM.toString(), "-c", "mosquitto.conf")
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("mosquitto.log").toFile())
            .start();
    awaitAnswer(folder);
  }

  private static String settings() throws Exception {
    String shipped = Files.readString(broker().resolve("mosquitto.conf"));
    String moved =
        replaced(
            replaced(
                replaced(shipped, "listener 8883\n", "listener " + tls + " 127.0.0.1\n"),
                "listener 1883 127.0.0.1",
                "listener " + plain + " 127.0.0.1"),
            "listener 9001 127.0.0.1",
            "listener " + EmbeddedBroker.freePort() + " 127.0.0.1");
    int begin = moved.indexOf("listener " + tls);
    String tlsPart = moved.substring(begin, moved.indexOf("\n\n", begin) + 1);
    return moved
        + "\n"
        + tlsPart.replace("listener " + tls, "listener " + certificates)
        + "require_certificate true\nuser root\n";
  }

  private static String replaced(String text, String from, String to) {
    assertTrue(text.contains(from), "the shipped settings have no line \"" + from.strip() + "\"");
    return text.replace(from, to);
  }

  private static void awaitAnswer(Path folder) throws Exception {
    for (int attempt = 0; attempt < START_ATTEMPTS; attempt++) {
      try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), certificates)) {
        assertTrue(socket.isConnected());
        return;
      } catch (IOException e) {
        Thread.sleep(100);
      }
    }
    throw new IllegalStateException(
        "mosquitto did not start: " + Files.readString(folder.resolve("mosquitto.log")));
  }

  @AfterAll
  static void stop() throws InterruptedException {
    if (broker != null) {
      broker.destroy();
      broker.waitFor(5, TimeUnit.SECONDS);
    }
  }

  @Override
  protected Path secrets() {
    return secrets;
  }

  @Override
  protected Path othersSecrets() {
    return others;
  }

  @Override
  protected int plainPort() {
    return plain;
  }

  @Override
  protected int tlsPort() {
    return tls;
  }

  @Override
  protected int certificatePort() {
    return certificates;
  }

  @Test
  void whatIsSecretIsForItsOwnersEyesOnly() throws Exception {
    try (Stream<Path> files = Files.list(secrets)) {
      for (Path file : files.toList()) {
        assertEquals(
            Set.of(PosixFilePermission.OWNER_READ, PosixFilePermission.OWNER_WRITE),
            Files.getPosixFilePermissions(file),
            file.toString());
      }
    }
  }
}
