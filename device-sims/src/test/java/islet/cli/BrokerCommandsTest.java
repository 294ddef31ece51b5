package islet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.LongTest;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The commands around brokers, accounts and certificates as a user meets them. Judged by exit codes
 * and by what is on disk afterwards.
 */
@Tag("apart")
class BrokerCommandsTest {

  private static final String SITE =
      Path.of(System.getProperty("islet.root", ".."), "config/sites/ferry-landing.yaml").toString();

  @TempDir private Path folder = Path.of("");

  private record Outcome(int code, String out, String err) {}

  private static Outcome islet(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code = Main.run(args, new PrintWriter(out), new PrintWriter(err));
    return new Outcome(code, out.toString(), err.toString());
  }

  private static void refuses(String reason, String... args) {
    Outcome outcome = islet(args);
    assertEquals(2, outcome.code(), outcome.toString());
    assertTrue(outcome.err().contains(reason), outcome.err());
  }

  private String at(String name) {
    return folder.resolve(name).toString();
  }

  @Test
  void anAccountIsMadeWithAPasswordOfItsOwnAndMayBeRenewed() throws Exception {
    String accounts = at("accounts.yaml");
    String password = at("dockmaster.password");
    String[] command = {
      "account", accounts, "--user", "dockmaster", "--role", "operator", "--password-file", password
    };
    Outcome made = islet(command);
    assertEquals(0, made.code(), made.err());
    String secret = Files.readString(Path.of(password)).strip();
    assertTrue(secret.length() >= 40, "256 bits need more than 40 letters");
    String before = Files.readString(Path.of(accounts));
    assertTrue(!before.contains(secret));
    Files.writeString(Path.of(password), "another one\n");
    assertEquals(0, islet(command).code());
    String after = Files.readString(Path.of(accounts));
    assertNotEquals(before, after);
    assertEquals(1, after.split("user: dockmaster", -1).length - 1);
    assertEquals(
        0,
        islet(
                "account",
                accounts,
                "--user",
                "class",
                "--role",
                "viewer,bench",
                "--site",
                "ferry-landing",
                "--password-file",
                at("class.password"))
            .code());
    assertTrue(Files.readString(Path.of(accounts)).contains("roles: [viewer, bench]"));
  }

  @Test
  void anAccountThatCannotBeIsRefusedAndNothingIsWritten() {
    refuses(
        "one of supervisor, devices, operator, viewer, bench",
        "account",
        at("a.yaml"),
        "--user",
        "x",
        "--role",
        "captain",
        "--password-file",
        at("p"));
    refuses(
        "letters, digits",
        "account",
        at("a.yaml"),
        "--user",
        "a b",
        "--role",
        "viewer",
        "--password-file",
        at("p"));
    assertTrue(Files.notExists(folder.resolve("a.yaml")) && Files.notExists(folder.resolve("p")));
  }

  @Test
  void aBrokerBeyondThisMachineIsRefusedByEveryCommand() {
    refuses("--wire-protected-otherwise", "live", SITE, "--broker", "tcp://192.0.2.7");
    refuses("--wire-protected-otherwise", "devices", "--site", SITE, "--broker", "ssl://192.0.2.7");
    refuses(
        "--wire-protected-otherwise", "controller", "--site", SITE, "--broker", "ws://192.0.2.7/x");
  }

  @Test
  void theBrokerInThisProcessListensBeyondThisMachineOnlyWithTlsAndAccounts() {
    refuses("all three or none", "live", SITE, "--tls", "8883");
    refuses("all three or none", "live", SITE, "--tls-address", "0.0.0.0");
    refuses(
        "--tls-address: found \"0.0.0.0\" without --accounts",
        "live",
        SITE,
        "--tls",
        "8883",
        "--tls-cert",
        "a",
        "--tls-key",
        "b",
        "--tls-address",
        "0.0.0.0");
    refuses(
        "found no certificate",
        "live",
        SITE,
        "--tls",
        "8883",
        "--tls-cert",
        at("a"),
        "--tls-key",
        at("b"));
    refuses("no such file", "live", SITE, "--accounts", at("none.yaml"));
    refuses("the port 2000 twice", "live", SITE, "--port", "2000", "--websocket", "2000");
  }

  /** The run's own clients need no account of the file, and a person's order comes through. */
  @Test
  @LongTest
  void aRunDemandsAccountsOfOthersAndStillPlaysItsOwnPart() throws Exception {
    String accounts = at("accounts.yaml");
    assertEquals(
        0,
        islet(
                "account",
                accounts,
                "--user",
                "class",
                "--role",
                "viewer",
                "--password-file",
                at("p"))
            .code());
    Path scenario = folder.resolve("scenario.yaml");
    Files.writeString(
        scenario,
        """
        title: An order, with accounts
        site: %s
        start: 2026-05-12T09:00
        duration: PT40S
        seed: 7
        weather: { clear-sky: { temperature: 15 degC } }
        battery: { soc: 0.85 }
        events:
          - { at: PT10S, operator: island-request }
        expect:
          - { signal: supervisor.mode, is: ISLANDED, within: PT20S, after: PT10S }
        """
            .formatted(Path.of(SITE).toAbsolutePath()));
    Outcome run = islet("live", scenario.toString(), "--speed", "10", "--accounts", accounts);
    assertEquals(0, run.code(), run.toString());
    assertTrue(run.out().contains("Whoever connects needs an account"), run.out());
  }

  @Test
  void optionsOfOneBrokerAreRefusedBesideTheOther() {
    refuses("beside --broker only", "live", SITE, "--user", "x", "--password-file", "y");
    refuses(
        "nothing beside --broker",
        "live",
        SITE,
        "--broker",
        "tcp://127.0.0.1",
        "--websocket",
        "9001");
  }

  @Test
  void whatIsAskedOfThePageIsCheckedBeforeAnythingIsStarted() {
    refuses("a whole number from 0 to 65535", "live", SITE, "--page", "eighty");
    refuses("a whole number from 0 to 65535", "live", SITE, "--page", "65536");
    refuses("without --page", "live", SITE, "--page-broker", "ws://127.0.0.1:9001/mqtt");
    refuses(
        "without --broker",
        "live",
        SITE,
        "--page",
        "0",
        "--page-broker",
        "ws://127.0.0.1:9001/mqtt");
    // A browser speaks MQTT by WebSocket only, and nobody can guess where that is.
    refuses(
        "the broker's WebSocket", "live", SITE, "--page", "0", "--broker", "tcp://127.0.0.1:1883");
    refuses(
        "the broker's WebSocket",
        "live",
        SITE,
        "--page",
        "0",
        "--broker",
        "tcp://127.0.0.1:1883",
        "--page-broker",
        "tcp://127.0.0.1:1883");
  }

  @Test
  void whatCannotRunBesideASiteIsRefusedBeforeAnythingIsStarted() {
    refuses("without --page", "live", SITE, "--beside", "changeover");
    refuses(
        "together with --broker",
        "live",
        SITE,
        "--page",
        "0",
        "--broker",
        "tcp://127.0.0.1:1883",
        "--page-broker",
        "ws://127.0.0.1:9001/mqtt",
        "--beside",
        "changeover");
    refuses("is already", "live", SITE, "--page", "0", "--beside", "two-panel");
    refuses("an arrangement (standalone, ", "live", SITE, "--page", "0", "--beside", "upside-down");
    refuses(
        "allowed is changeover, charger-only, grid-interactive, inverter-charger, or a site's file",
        "live",
        SITE,
        "--page",
        "0",
        "--beside",
        "standalone");
    refuses("an id of its own", "live", SITE, "--page", "0", "--beside", SITE);
    refuses(
        "other loads",
        "live",
        SITE,
        "--page",
        "0",
        "--beside",
        SITE.replace("ferry-landing.", "boat-shed."));
  }

  @Test
  void aPortThatThePageCannotHaveIsToldAndNothingStays() throws Exception {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      String port = Integer.toString(taken.getLocalPort());
      Outcome run = islet("live", SITE, "--page", port);
      assertEquals(3, run.code(), run.toString());
      assertTrue(run.err().contains("choose another with --page"), run.err());
    }
  }
}
