package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What {@code watch} refuses, each with a sentence and its exit code, and before it serves. */
class WatchCommandTest {

  private static final String SITE =
      Path.of(System.getProperty("islet.root", ".."), "config/sites/ferry-landing.yaml").toString();

  private static final String BROKER = "ws://127.0.0.1:9001/mqtt";

  private static void refuses(int code, String reason, String... args) {
    StringWriter err = new StringWriter();
    assertEquals(
        code,
        Main.run(args, new PrintWriter(new StringWriter()), new PrintWriter(err)),
        err.toString());
    assertTrue(err.toString().contains(reason), err.toString());
  }

  @Test
  void whatIsNotTheAddressOfAWebSocketIsRefused() {
    for (String found : new String[] {"tcp://127.0.0.1:1883", "ws://", "127.0.0.1:9001", ""}) {
      refuses(
          2,
          "allowed is the broker's WebSocket",
          "watch",
          SITE,
          "--page",
          "0",
          "--page-broker",
          found);
    }
    refuses(2, "--page-broker", "watch", SITE, "--page", "0");
  }

  @Test
  void aPasswordDoesNotLeaveTheMachineInTheClear() {
    refuses(
        2,
        "beyond this machine, without TLS; allowed is such a broker by wss://",
        "watch",
        SITE,
        "--page",
        "0",
        "--page-broker",
        "ws://broker.example:9001/mqtt");
  }

  @Test
  void aSiteThatIsNoneAndAPortThatIsTakenAreTold(@TempDir Path folder) throws Exception {
    refuses(2, "no such file", "watch", "nowhere.yaml", "--page", "0", "--page-broker", BROKER);
    Path file = folder.resolve("site.yaml");
    Files.writeString(file, "name: half a site\n");
    refuses(
        2,
        "neither a site nor a scenario",
        "watch",
        file.toString(),
        "--page",
        "0",
        "--page-broker",
        BROKER);
    refuses(2, "whole number", "watch", SITE, "--page", "http", "--page-broker", BROKER);
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      refuses(
          3,
          "cannot be served",
          "watch",
          SITE,
          "--page",
          String.valueOf(taken.getLocalPort()),
          "--page-broker",
          BROKER);
    }
  }
}
