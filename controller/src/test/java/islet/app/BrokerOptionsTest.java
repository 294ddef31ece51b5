package islet.app;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.ParameterException;

/**
 * Which addresses are taken with which account. Judged by RFC 1122, 3.2.1.3 (which addresses never
 * leave a machine), RFC 5737 (192.0.2.0/24 is for examples and nobody's) and the rule that nobody
 * gives orders over a wire that strangers can write on.
 */
class BrokerOptionsTest {

  @Command
  private static final class Any {
    @Mixin private final BrokerOptions options = new BrokerOptions();
  }

  @TempDir private Path folder = Path.of("");

  private static void read(String broker, String... args) {
    Any command = new Any();
    new CommandLine(command).parseArgs(args);
    var unused = command.options.access(broker);
  }

  private static String refusal(String broker, String... args) {
    return String.valueOf(
        assertThrows(ParameterException.class, () -> read(broker, args)).getMessage());
  }

  private String password() throws Exception {
    return file("password", "a long secret\n", "rw-------");
  }

  private String file(String name, String text, String permissions) throws Exception {
    Path file = folder.resolve(name);
    Files.writeString(file, text);
    Files.setPosixFilePermissions(file, PosixFilePermissions.fromString(permissions));
    return file.toString();
  }

  @Test
  void thisMachineNeedsNeitherTlsNorUser() {
    for (String broker :
        new String[] {
          "tcp://127.0.0.1:1883",
          "tcp://127.3.2.1",
          "tcp://localhost",
          "ws://127.0.0.1:8080/mqtt",
          "tcp://[::1]:1883"
        }) {
      assertDoesNotThrow(() -> read(broker));
    }
  }

  @Test
  void anotherMachineIsRefusedWithoutTlsAndWithoutUser() throws Exception {
    String file = password();
    for (String broker :
        new String[] {
          "tcp://192.0.2.7:1883",
          "ws://broker.example/mqtt",
          // Begins like this machine's own and is anybody's.
          "tcp://127.0.0.1.broker.example",
          "tcp://localhost.broker.example"
        }) {
      assertTrue(refusal(broker).contains("beyond this machine, without TLS"), broker);
      assertTrue(
          refusal(broker, "--user", "supervisor", "--password-file", file)
              .contains("beyond this machine, without TLS"),
          broker);
    }
    assertTrue(refusal("ssl://192.0.2.7").contains("beyond this machine, without a user"));
    assertTrue(refusal("wss://192.0.2.7").contains("beyond this machine, without a user"));
    assertDoesNotThrow(
        () -> read("ssl://192.0.2.7", "--user", "supervisor", "--password-file", file));
  }

  @Test
  void whoeverSaysThatTheWireIsProtectedOtherwiseIsBelieved() {
    assertDoesNotThrow(() -> read("tcp://192.0.2.7", "--wire-protected-otherwise"));
    assertDoesNotThrow(() -> read("ssl://192.0.2.7", "--wire-protected-otherwise"));
  }

  @Test
  void aPasswordThatEverybodyCanReadIsRefused() throws Exception {
    String open = file("open", "secret\n", "rw-r--r--");
    assertTrue(
        refusal("tcp://127.0.0.1", "--user", "viewer", "--password-file", open)
            .contains("every user of this machine"));
    String group = file("group", "secret\n", "rw-r-----");
    assertDoesNotThrow(() -> read("tcp://127.0.0.1", "--user", "viewer", "--password-file", group));
    String empty = file("empty", "\nsecret\n", "rw-------");
    assertTrue(
        refusal("tcp://127.0.0.1", "--user", "viewer", "--password-file", empty)
            .contains("found no password"));
    String none = folder.resolve("none").toString();
    assertTrue(
        refusal("tcp://127.0.0.1", "--user", "viewer", "--password-file", none)
            .contains("no readable text file"));
  }

  @Test
  void halvesAreRefused() throws Exception {
    assertTrue(refusal("tcp://127.0.0.1", "--user", "viewer").contains("both or none"));
    assertTrue(refusal("tcp://127.0.0.1", "--password-file", password()).contains("both or none"));
    assertTrue(refusal("ssl://127.0.0.1", "--cert", "a.pem").contains("both or none"));
    assertTrue(refusal("tcp://127.0.0.1", "--ca", "ca.pem").contains("ssl:// or wss://"));
  }

  @Test
  void whatIsNoCertificateIsToldByItsFile() throws Exception {
    String notes = file("notes.pem", "milk, bread\n", "rw-------");
    assertTrue(
        refusal("ssl://127.0.0.1", "--ca", notes).contains(notes + ": found no certificate"));
  }

  @Test
  void theControllerLeavesWithTwoAndWritesNothing() {
    Path journal = folder.resolve("journal");
    StringWriter told = new StringWriter();
    CommandLine line = new CommandLine(new ControllerCommand());
    line.setErr(new PrintWriter(told));
    int code =
        line.execute(
            "--site", "none.yaml", "--broker", "tcp://192.0.2.7", "--journal", journal.toString());
    assertEquals(2, code);
    assertTrue(told.toString().contains("--wire-protected-otherwise"), told.toString());
    assertTrue(Files.notExists(journal));
  }
}
