package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Inbox;
import islet.contract.Message;
import islet.contract.Port;
import islet.live.account.Account;
import islet.live.account.Accounts;
import islet.live.account.PasswordHash;
import islet.live.account.Role;
import islet.mqtt.Access;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.Secrets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** The embedded broker under the suite of accounts and certificates. */
@Execution(ExecutionMode.CONCURRENT)
@Tag("apart")
class EmbeddedBrokerSecurityTest extends WireSecurity {

  private static Path secrets = Path.of("");
  private static Path others = Path.of("");
  private static EmbeddedBroker broker;

  @BeforeAll
  static void start(@TempDir Path folder) throws Exception {
    secrets = folder.resolve("own");
    others = folder.resolve("others");
    makeSecrets(secrets);
    makeSecrets(others);
    List<Account> accounts = new ArrayList<>();
    for (Role role : Role.values()) {
      byte[] password = Secrets.password(secrets.resolve(role.word() + ".password"));
      accounts.add(new Account(role.word(), Set.of(role), "", PasswordHash.of(password, 1_000)));
      if (role == Role.SUPERVISOR) {
        accounts.add(
            new Account("elsewhere", Set.of(role), "other", PasswordHash.of(password, 1_000)));
      }
    }
    broker =
        EmbeddedBroker.start(
            new Listeners(
                EmbeddedBroker.freePort(),
                0,
                List.of(listener(Optional.empty()), listener(Optional.of("ca.crt")))),
            Optional.of(Accounts.of(accounts)));
  }

  private static TlsListener listener(Optional<String> clients) throws SurroundingsException {
    return new TlsListener(
        EmbeddedBroker.freePort(),
        "127.0.0.1",
        secrets.resolve("broker.crt"),
        secrets.resolve("broker.key"),
        clients.map(secrets::resolve));
  }

  @AfterAll
  static void stop() {
    if (broker != null) {
      broker.close();
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
    return broker.port();
  }

  @Override
  protected int tlsPort() {
    return broker.listeners().tls().get(0).port();
  }

  @Override
  protected int certificatePort() {
    return broker.listeners().tls().get(1).port();
  }

  private static Access access(String user, String passwordOf) throws Exception {
    return Access.NONE.as(user, Secrets.password(secrets.resolve(passwordOf + ".password")));
  }

  @Test
  void anAccountOfOneSiteIsBlindAndMuteAtAnother() throws Exception {
    try (PahoBroker elsewhere =
            new PahoBroker(broker.url(), SETTINGS.with(access("elsewhere", "supervisor")));
        PahoBroker here =
            new PahoBroker(broker.url(), SETTINGS.with(access("supervisor", "supervisor")))) {
      Inbox heardElsewhere = new Inbox();
      Inbox heardHere = new Inbox();
      Port mute = elsewhere.connect("elsewhere", NO_WILL, heardElsewhere);
      Port ours = here.connect("here", NO_WILL, heardHere);
      mute.subscribe("islet/v1/other/#", 1);
      mute.subscribe("islet/v1/here/#", 1);
      ours.subscribe("islet/v1/other/#", 1);
      ours.subscribe("islet/v1/here/#", 1);
      await("both links", () -> mute.connected() && ours.connected());
      Thread.sleep(300);
      byte[] text = {'x'};
      mute.publish(Message.of("islet/v1/here/tie/command", text, 1, false));
      mute.publish(Message.of("islet/v1/other/tie/command", text, 1, false));
      ours.publish(Message.of("islet/v1/here/tie/command", text, 1, false));
      await("both messages", () -> heardHere.messages().size() >= 2);
      Thread.sleep(300);
      assertEquals(
          List.of("islet/v1/other/tie/command"),
          heardElsewhere.messages().stream().map(Message::topic).toList());
      assertEquals(
          Set.of("islet/v1/other/tie/command", "islet/v1/here/tie/command"),
          Set.copyOf(heardHere.messages().stream().map(Message::topic).toList()));
      assertEquals(2, heardHere.messages().size());
    }
  }

  /** 3.1.4 of MQTT 5 gives a name to whoever comes last; so only its owner may come under it. */
  @Test
  void nobodyTakesTheNameOfTheSupervisorToThrowItOut() throws Exception {
    String name = "islet-v1-ferry-landing-supervisor-state";
    try (PahoBroker supervisor =
            new PahoBroker(broker.url(), SETTINGS.with(access("supervisor", "supervisor")));
        PahoBroker viewer =
            new PahoBroker(broker.url(), SETTINGS.with(access("viewer", "viewer")))) {
      Inbox news = new Inbox();
      Port own = supervisor.connect(name, NO_WILL, news);
      await("the supervisor's link", own::connected);
      long before = broker.turnedAway().strangers();
      Port thief = viewer.connect(name, NO_WILL, new Inbox());
      await("the thief", () -> broker.turnedAway().strangers() > before);
      assertEquals(List.of(true), news.links());
      assertTrue(own.connected());
      assertFalse(thief.connected());
    }
  }

  /** Mosquitto grants any subscription and then delivers nothing; this broker says no. */
  @Test
  void whoMayNotReadIsToldSo() throws Exception {
    try (PahoBroker client =
        new PahoBroker(broker.url(), SETTINGS.with(access("viewer", "viewer")))) {
      Port port = client.connect("curious", NO_WILL, new Inbox());
      port.subscribe("elsewhere/#", 1);
      port.subscribe("#", 1);
      await("two refusals", () -> client.counts().refused() == 2);
      assertTrue(port.connected());
    }
  }

  @Test
  void aCertificateThatIsNoneIsToldBeforeAnythingListens() {
    TlsListener wrong =
        new TlsListener(
            1,
            "127.0.0.1",
            secrets.resolve("viewer.password"),
            secrets.resolve("x"),
            Optional.empty());
    SurroundingsException e =
        assertThrows(
            SurroundingsException.class,
            () ->
                EmbeddedBroker.start(new Listeners(EmbeddedBroker.freePort(), 0, List.of(wrong))));
    assertTrue(String.valueOf(e.getMessage()).contains("found no certificate"), e.getMessage());
    assertThrows(
        BrokerUnreachableException.class,
        () -> PahoBroker.probe("ssl://127.0.0.1:1", Duration.ofSeconds(1)));
  }
}
