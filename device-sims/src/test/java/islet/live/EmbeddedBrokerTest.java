package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.Inbox;
import islet.contract.Message;
import islet.contract.Port;
import islet.mqtt.BrokerUnreachableException;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.time.Duration;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * The embedded broker's life, and the port's behaviour around it. Judged by the operating system:
 * which ports answer and which folders are left.
 */
@Timeout(120)
@Tag("apart")
class EmbeddedBrokerTest {

  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  @Test
  void itAnswersWhileItRunsAndLeavesNothingBehind() throws Exception {
    EmbeddedBroker broker = EmbeddedBroker.start();
    PahoBroker.probe(broker.url(), Duration.ofSeconds(5));
    assertTrue(Files.exists(broker.folder()));
    SurroundingsException taken =
        assertThrows(SurroundingsException.class, () -> EmbeddedBroker.start(broker.port()));
    assertTrue(
        String.valueOf(taken.getMessage()).contains(broker.port() + " on 127.0.0.1 is taken"));

    // A port outlives the broker: it drops what it cannot send and comes back to the next one.
    try (PahoBroker client = new PahoBroker(broker.url(), new PahoSettings(5, 2, 60, 50, 200))) {
      Inbox inbox = new Inbox();
      Port port = client.connect("device", NO_WILL, inbox);
      port.subscribe("x", 1);
      await(port::connected);
      port.publish(Message.of("x", new byte[PahoBroker.PAYLOAD_LIMIT + 1], 1, false));
      port.publish(Message.of("x", new byte[PahoBroker.PAYLOAD_LIMIT], 1, false));
      await(() -> inbox.messages().size() == 1);
      assertEquals(PahoBroker.PAYLOAD_LIMIT, inbox.messages().get(0).payload().length);
      assertEquals(1, client.counts().oversized());

      broker.close();
      await(() -> inbox.links().equals(List.of(true, false)));
      port.publish(Message.of("x", new byte[1], 1, false));
      assertEquals(1, client.counts().unsent());
      assertFalse(Files.exists(broker.folder()));
      assertThrows(
          BrokerUnreachableException.class,
          () -> PahoBroker.probe(broker.url(), Duration.ofSeconds(1)));

      EmbeddedBroker next = EmbeddedBroker.start(broker.port());
      await(port::connected);
      port.publish(Message.of("x", new byte[2], 1, false));
      await(() -> inbox.messages().size() == 2);
      next.close();
    }
  }

  @Test
  void aProbeOfWhatIsNoBrokerFailsInTimeWithASentence() throws Exception {
    // Accepts and never answers: the client library alone would wait for ever.
    try (ServerSocket mute = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
      String url = "tcp://127.0.0.1:" + mute.getLocalPort();
      BrokerUnreachableException refusal =
          assertThrows(
              BrokerUnreachableException.class,
              () -> PahoBroker.probe(url, Duration.ofMillis(700)));
      assertTrue(
          String.valueOf(refusal.getMessage()).startsWith("No MQTT 5 broker answers at " + url));
    }
    for (String url :
        List.of("", "localhost", "http://localhost:1", "tcp://h:70000", "tcp://a b")) {
      BrokerUnreachableException refusal =
          assertThrows(
              BrokerUnreachableException.class, () -> PahoBroker.probe(url, Duration.ofMillis(1)));
      assertTrue(String.valueOf(refusal.getMessage()).contains("is not the address of a broker"));
    }
  }

  @Test
  void aPortThatHangsInConnectingIsThrownAwayAndTriesAgain() throws Exception {
    try (ServerSocket mute = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
        PahoBroker client =
            new PahoBroker(
                "tcp://127.0.0.1:" + mute.getLocalPort(), new PahoSettings(5, 1, 0, 50, 100))) {
      Inbox inbox = new Inbox();
      Port port = client.connect("device", NO_WILL, inbox);
      for (int attempt = 0; attempt < 3; attempt++) {
        mute.setSoTimeout(5_000);
        mute.accept(); // kept open, never answered
      }
      assertFalse(port.connected());
      assertEquals(List.of(), inbox.links());
    }
  }

  private static void await(BooleanSupplier condition) throws InterruptedException {
    for (int tries = 0; tries < 3_000 && !condition.getAsBoolean(); tries++) {
      Thread.sleep(10);
    }
    assertTrue(condition.getAsBoolean(), "not within 30 s");
  }
}
