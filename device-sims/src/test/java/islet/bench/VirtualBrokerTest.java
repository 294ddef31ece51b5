package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Message;
import islet.contract.Port;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/**
 * The network around the virtual broker. Judged by what a TCP connection promises (order; what is
 * sent arrives or the connection ends: RFC 9293) and by OASIS MQTT Version 5.0 where a section is
 * named, from memory.
 */
class VirtualBrokerTest {

  private static final long START = 1_768_400_000_000_000L;
  private static final Message NO_WILL = message("", "", 0);

  private final VirtualTime time = new VirtualTime(START);
  private final VirtualBroker broker = new VirtualBroker(time);
  private final Inbox inbox = new Inbox();
  private final List<String> wire = new ArrayList<>();

  @Test
  void aMessageTakesTheLatencyOfBothLinks() {
    broker.link("sender").latency(3_000, 0);
    broker.link("receiver").latency(0, 40_000);
    Port sender = subscribedPair();
    listenOnTheWire();
    sender.publish(message("site/x", "m", 0));
    pass(1.0);
    assertEquals(List.of("1003000 sender > m", "1043000 receiver < m"), wire);
  }

  @Test
  void theLinkStandsAfterOneRoundTrip() {
    broker.link("device").latency(2_000, 5_000);
    Port port = broker.connect("device", NO_WILL, inbox);
    time.runUntil(START + 6_999);
    assertFalse(port.connected());
    time.runUntil(START + 7_000);
    assertTrue(port.connected());
    assertEquals(List.of(true), inbox.links());
  }

  @Test
  void whatIsSentIntoACutCableArrivesLateAndInOrderWhenItIsMendedInTime() {
    Port sender = subscribedPair();
    sender.publish(message("site/x", "before", 1));
    time.runUntil(time.now() + 500); // still on the way when the cable is cut
    broker.link("sender").cut();
    sender.publish(message("site/x", "during", 1));
    sender.publish(message("site/x", "during too", 0));
    pass(5);
    assertEquals(List.of(), inbox.texts());
    assertTrue(sender.connected());
    broker.link("sender").restore();
    sender.publish(message("site/x", "after", 1));
    pass(0.1);
    assertEquals(List.of("before", "during", "during too", "after"), inbox.texts());
  }

  @Test
  void aCutShorterThanTheLatencyKeepsTheOrderToo() {
    broker.link("receiver").latency(1_000, 10_000);
    Port sender = subscribedPair();
    for (int i = 0; i < 40; i++) {
      sender.publish(message("site/x", "" + i, i % 2));
      if (i % 10 == 5) {
        broker.link("receiver").cut();
      } else if (i % 10 == 8) {
        broker.link("receiver").restore();
      }
      time.runUntil(time.now() + 1_500);
    }
    broker.link("receiver").restore();
    pass(1);
    assertEquals(IntStream.range(0, 40).mapToObj(i -> "" + i).toList(), inbox.texts());
  }

  @Test
  void aCutIsNoticedAfterOneAndAHalfKeepAlivesAndThenTheWillIsPublished() {
    // 3.1.2.10 and 3.1.2.5.
    Inbox device = new Inbox();
    Port watcher = broker.connect("watcher", NO_WILL, inbox);
    watcher.subscribe("#", 1);
    broker.connect("device", message("site/device/online", "lost", 1), device);
    pass(1);
    broker.link("device").cut();
    pass(7.499);
    assertEquals(List.of(), inbox.texts());
    pass(0.01);
    assertEquals(List.of("lost"), inbox.texts());
    assertEquals(List.of(true, false), device.links());
    pass(100);
    assertEquals(List.of(true, false), device.links());
    broker.link("device").restore();
    pass(1.01);
    assertEquals(List.of(true, false, true), device.links());
  }

  @Test
  void aQosOneMessageLostInTheCutComesAgainAfterTheReconnection() {
    // 4.4: unacknowledged messages are sent again on reconnection, and only then.
    Port sender = subscribedPair();
    broker.link("receiver").cut();
    sender.publish(message("site/x", "one", 1));
    sender.publish(message("site/x", "zero", 0));
    pass(8);
    broker.link("receiver").restore();
    pass(2);
    assertEquals(List.of("one"), inbox.texts());
    assertEquals(2, broker.link("receiver").counts().lost());
  }

  @Test
  void aMessageWhoseAcknowledgementIsLostIsDeliveredTwice() {
    // 4.3.2: at least once.
    Port sender = subscribedPair();
    sender.publish(message("site/x", "order", 1));
    time.runUntil(time.now() + 2_500); // delivered after 2 ms, acknowledged after 3 ms
    assertEquals(List.of("order"), inbox.texts());
    broker.drop("receiver");
    pass(2);
    assertEquals(List.of("order", "order"), inbox.texts());
  }

  @Test
  void anAcknowledgedMessageIsNotDeliveredAgain() {
    Port sender = subscribedPair();
    sender.publish(message("site/x", "order", 1));
    time.runUntil(time.now() + 3_500);
    broker.drop("receiver");
    pass(2);
    assertEquals(List.of("order"), inbox.texts());
    assertEquals(List.of(true, false, true), inbox.links());
  }

  @Test
  void aDeadProcessHearsNothingAndItsSuccessorStartsClean() {
    // 3.1.2.4: clean start discards the former session with what waited in it.
    Port sender = subscribedPair();
    broker.kill("receiver");
    pass(1);
    sender.publish(message("site/x", "into the void", 1));
    pass(1);
    assertEquals(List.of(true), inbox.links());
    Inbox successor = new Inbox();
    broker.connect("receiver", NO_WILL, successor).subscribe("site/#", 1);
    pass(1);
    sender.publish(message("site/x", "news", 1));
    pass(1);
    assertEquals(List.of("news"), successor.texts());
    assertEquals(List.of(), inbox.texts());
  }

  @Test
  void aForgetfulBrokerComesBackWithoutRetainedMessagesAndTheClientsSubscribeAgain() {
    Port sender = subscribedPair();
    sender.publish(Message.of("site/kept", bytes("kept"), 1, true));
    pass(1);
    broker.restart(5_000_000, true);
    pass(4.9);
    assertEquals(List.of(true, false), inbox.links());
    pass(2);
    assertEquals(List.of(true, false, true), inbox.links());
    Inbox late = new Inbox();
    broker.connect("late", NO_WILL, late).subscribe("site/#", 1);
    pass(1);
    assertEquals(List.of(), late.texts());
    sender.publish(message("site/x", "again", 0));
    pass(1);
    assertEquals(List.of("kept", "again"), inbox.texts());
  }

  @Test
  void aBrokerThatRemembersComesBackWithItsRetainedMessages() {
    Port sender = subscribedPair();
    sender.publish(Message.of("site/kept", bytes("kept"), 1, true));
    pass(1);
    broker.restart(1_000_000, false);
    pass(3);
    Inbox late = new Inbox();
    broker.connect("late", NO_WILL, late).subscribe("site/#", 1);
    pass(1);
    assertEquals(List.of("kept"), late.texts());
  }

  @Test
  void topicsWithADollarAreNotCoveredByALeadingWildcard() {
    // 4.7.2.
    Port receiver = broker.connect("receiver", NO_WILL, inbox);
    receiver.subscribe("#", 1);
    receiver.subscribe("+/load", 1);
    Port other = broker.connect("other", NO_WILL, inbox);
    other.subscribe("$meter/#", 1);
    pass(1);
    broker.connect("sender", message("$meter/load", "7", 1), new Inbox());
    pass(1);
    broker.drop("sender");
    pass(1);
    assertEquals(List.of("7"), inbox.texts());
  }

  @Test
  void badFiltersAndTopicsAreRefusedWithASentence() {
    // 4.7.1.2, 4.7.1.3, 4.7.3.
    for (String filter : List.of("a/#/b", "a#", "a/b+", "+a", "")) {
      assertThrows(IllegalArgumentException.class, () -> new TopicFilter(filter), filter);
    }
    Port sender = subscribedPair();
    assertThrows(
        IllegalArgumentException.class, () -> sender.publish(message("site/+", "nowhere", 0)));
    assertThrows(IllegalArgumentException.class, () -> sender.subscribe("a#", 0));
  }

  @Test
  void lossIsSeededAndOfTheAskedShare() {
    // Binomial, n = 10 000, p = 0.1: standard deviation 30; 4 of them either way.
    int through = throughDisturbed(Disturbance.loss(0.1, 11), 10_000).size();
    assertTrue(Math.abs(through - 9_000) < 120, "through: " + through);
    assertEquals(
        throughDisturbed(Disturbance.loss(0.1, 11), 500),
        throughDisturbed(Disturbance.loss(0.1, 11), 500));
    assertFalse(
        throughDisturbed(Disturbance.loss(0.1, 11), 500)
            .equals(throughDisturbed(Disturbance.loss(0.1, 12), 500)));
  }

  @Test
  void jitterKeepsTheOrderAndLaterDoesNot() {
    List<String> numbers = IntStream.range(0, 500).mapToObj(i -> "" + i).toList();
    assertEquals(numbers, throughDisturbed(Disturbance.jitter(50_000, 3), 500));
    List<String> overtaken = throughDisturbed(Disturbance.later(0.2, 50_000, 3), 500);
    assertFalse(numbers.equals(overtaken));
    assertEquals(new HashSet<>(numbers), new HashSet<>(overtaken));
    assertEquals(500, overtaken.size());
  }

  @Test
  void disturbancesAddUp() {
    Disturbance twice = Disturbance.duplicate(1.0, 1);
    Disturbance damaged =
        (fate, toBroker) -> fate.replace(message(fate.message().topic(), "{\"seq\":", 0));
    assertEquals(List.of("{\"seq\":", "{\"seq\":"), throughDisturbed(twice.and(damaged), 1));
  }

  @Test
  void countersTellWhatDidNotGetThrough() {
    broker.sessionExpiry(60);
    Port sender = subscribedPair();
    broker.link("receiver").notice(0).cut();
    pass(1);
    sender.publish(message("site/x", "missed", 0));
    sender.publish(new Message("site/x", bytes("expiring"), 1, false, 2, "", new byte[0]));
    for (int i = 0; i < VirtualBroker.QUEUE_LIMIT + 9; i++) {
      sender.publish(message("site/x", "queued", 1));
    }
    pass(3);
    broker.link("receiver").restore();
    pass(2);
    assertEquals(VirtualBroker.QUEUE_LIMIT - 1, inbox.texts().size());
    assertEquals(new Link.Counts(0, 0, 1, 1, 10, 0), broker.link("receiver").counts());
    broker.link("sender").notice(0).cut();
    pass(1);
    sender.publish(message("site/x", "unsent", 1));
    assertEquals(1, broker.link("sender").counts().unsent());
  }

  private List<String> throughDisturbed(Disturbance disturbance, int number) {
    VirtualTime ownTime = new VirtualTime(0);
    VirtualBroker ownBroker = new VirtualBroker(ownTime);
    Inbox own = new Inbox();
    List<String> texts = new ArrayList<>();
    ownBroker.connect("receiver", NO_WILL, own).subscribe("x", 0);
    ownBroker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            // Only what arrives is of interest.
          }

          @Override
          public void delivered(long micros, String to, Message message) {
            texts.add(message.text());
          }
        });
    Port sender = ownBroker.connect("sender", NO_WILL, own);
    ownTime.runUntil(1_000_000);
    ownBroker.link("sender").disturb(disturbance);
    for (int i = 0; i < number; i++) {
      sender.publish(message("x", "" + i, 0));
      ownTime.runUntil(ownTime.now() + 10_000);
    }
    ownTime.runUntil(ownTime.now() + 1_000_000);
    return texts;
  }

  private Port subscribedPair() {
    Port receiver = broker.connect("receiver", NO_WILL, inbox);
    receiver.subscribe("site/#", 1);
    Port sender = broker.connect("sender", NO_WILL, new Inbox());
    pass(1);
    return sender;
  }

  private void listenOnTheWire() {
    broker.tap(
        new WireTap() {
          @Override
          public void published(long micros, String from, Message message) {
            wire.add((micros - START) + " " + from + " > " + message.text());
          }

          @Override
          public void delivered(long micros, String to, Message message) {
            wire.add((micros - START) + " " + to + " < " + message.text());
          }
        });
  }

  private void pass(double seconds) {
    time.runUntil(time.now() + Math.round(seconds * 1e6));
  }

  private static Message message(String topic, String text, int qos) {
    return Message.of(topic, bytes(text), qos, false);
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
