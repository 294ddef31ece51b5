package islet.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import islet.LongTest;
import islet.contract.Message;
import islet.contract.Port;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * What Islet relies on in a broker, asked of every broker in the same words.
 *
 * <p>Judged by OASIS MQTT Version 5.0 (2019); the section beside each check is cited from memory.
 */
public abstract class MqttSemantics {

  /** The session expiry that {@link #ground} must give its clients, in s. */
  protected static final int SESSION_EXPIRY_SECONDS = 5;

  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  /** Tests may share a broker, so each has topics and client ids of its own. */
  private static final AtomicInteger TESTS = new AtomicInteger();

  private String root = "";

  private MqttGround ground;
  private Inbox inbox;

  /** Makes a fresh broker with the session expiry above. */
  protected abstract MqttGround ground();

  /**
   * Whether the broker tells a client that its place was taken (3.1.4 demands it, with reason
   * 0x8E); one that does not leaves the client to believe in a lost link.
   */
  protected boolean tellsOfTakeOver() {
    return true;
  }

  /** Whether the broker takes the time waited off the expiry of retained messages (3.3.2.3.3). */
  protected boolean agesRetainedMessages() {
    return true;
  }

  /** Whether time that must pass takes that time; a virtual one costs nothing. */
  protected boolean waitsByTheWallClock() {
    return true;
  }

  private void whereWaitingMayTakeItsTime() {
    assumeTrue(
        LongTest.ASKED_FOR || !waitsByTheWallClock(), "waits some seconds: -Dislet.long=true");
  }

  @BeforeEach
  void prepare() {
    root = "test-" + TESTS.incrementAndGet();
    ground = ground();
    inbox = new Inbox();
  }

  @AfterEach
  void clear() {
    ground.close();
  }

  @Test
  void aRetainedMessageReachesALaterSubscriberWithTheRetainFlag() {
    // 3.3.1.3: the last retained message is sent at subscribe, with RETAIN 1.
    Port sender = open("sender", new Inbox());
    sender.publish(retained("tie/state", "closed"));
    sender.publish(retained("tie/state", "open"));
    ground.settle();
    Port receiver = open("receiver", inbox);
    receiver.subscribe(at("+/state"), 1);
    awaitTexts("open");
    assertTrue(inbox.messages().get(0).retain());
    // 3.3.1.3 with Retain As Published 0: RETAIN 0 for who is subscribed already.
    sender.publish(retained("tie/state", "closed"));
    awaitTexts("open", "closed");
    assertFalse(inbox.messages().get(1).retain());
  }

  @Test
  void anEmptyRetainedMessageClearsWhatWasRetained() {
    // 3.3.1.3: a zero-byte payload removes the retained message and is itself not retained.
    Port sender = open("sender", new Inbox());
    sender.publish(retained("a", "stays"));
    sender.publish(retained("b", "goes"));
    sender.publish(retained("b", ""));
    ground.settle();
    open("receiver", inbox).subscribe(at("#"), 1);
    awaitTexts("stays");
    settleAndExpect("stays");
  }

  @Test
  void theWillIsPublishedWhenAClientIsLost() {
    // 3.1.2.5: the will is published when the connection closes without a DISCONNECT.
    open("watcher", inbox).subscribe(at("+/online"), 1);
    open("device", retained("device/online", "lost"), new Inbox());
    ground.cut(id("device"));
    awaitTexts("lost");
    // The will was marked as retained, so who comes later learns it too.
    Inbox late = new Inbox();
    open("late", late).subscribe(at("device/online"), 1);
    ground.await("the retained will", () -> late.texts().equals(List.of("lost")));
  }

  @Test
  void theWillIsNotPublishedWhenAClientLeavesInGoodOrder() {
    // 3.14.4: on DISCONNECT with reason 0x00 the will is discarded.
    open("watcher", inbox).subscribe(at("#"), 1);
    Port device = open("device", retained("device/online", "lost"), new Inbox());
    device.publish(message("device/event", "leaving", 1));
    device.close();
    awaitTexts("leaving");
    settleAndExpect("leaving");
  }

  @Test
  void messagesOfOnePublisherOnOneTopicKeepTheirOrder() {
    // 4.6: order is kept for the same topic and quality of service.
    Port receiver = open("receiver", inbox);
    receiver.subscribe(at("command"), 1);
    receiver.subscribe(at("telemetry"), 0);
    Port sender = open("sender", new Inbox());
    List<String> numbers = IntStream.range(0, 200).mapToObj(Integer::toString).toList();
    for (String number : numbers) {
      sender.publish(message("command", number, 1));
      sender.publish(message("telemetry", number, 0));
    }
    ground.await("400 messages", () -> inbox.messages().size() >= 400);
    assertEquals(numbers, textsOf("command"));
    assertEquals(numbers, textsOf("telemetry"));
  }

  @Test
  void qosOneWaitsForAClientWhoseLinkIsDownAndQosZeroDoesNot() {
    // 4.1: the session keeps QoS 1 messages; 4.3.1: QoS 0 is delivered at most once;
    // 4.6: in order on return. The subscription is the session's too.
    open("device", inbox).subscribe(at("#"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    ground.cut(id("device"));
    ground.await("the news of the cut", () -> inbox.links().equals(List.of(true, false)));
    ground.settle();
    for (int i = 0; i < 5; i++) {
      sender.publish(message("command", "order " + i, 1));
      sender.publish(message("telemetry", "value " + i, 0));
    }
    ground.settle();
    assertEquals(List.of(), inbox.texts());
    ground.restore(id("device"));
    awaitTexts("order 0", "order 1", "order 2", "order 3", "order 4");
    sender.publish(message("telemetry", "value 5", 0));
    awaitTexts("order 0", "order 1", "order 2", "order 3", "order 4", "value 5");
    assertEquals(List.of(true, false, true), inbox.links());
  }

  @Test
  void whatWasNotAcknowledgedComesAgainInOrderMarkedAsDuplicate() {
    // 4.4: unacknowledged QoS 1 messages are sent again when the session resumes; 3.3.1.1: with DUP
    // 1; 4.6: in their order, before later ones.
    open("device", inbox).subscribe(at("command"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    sender.publish(message("command", "first", 1));
    awaitTexts("first");
    ground.settle();
    ground.mute(id("device"));
    // One only: a broker may hold back more till the first is acknowledged (4.9).
    sender.publish(message("command", "second", 1));
    awaitTexts("first", "second");
    ground.cut(id("device"));
    ground.await("the news of the cut", () -> inbox.links().equals(List.of(true, false)));
    ground.settle();
    sender.publish(message("command", "third", 1));
    ground.settle();
    assertEquals(0, ground.duplicates(id("device")));
    ground.restore(id("device"));
    awaitTexts("first", "second", "second", "third");
    settleAndExpect("first", "second", "second", "third");
    assertEquals(1, ground.duplicates(id("device")));
  }

  @Test
  void aLowerQosOfTheSubscriptionLowersTheMessage() {
    // 3.8.4: delivered with the minimum of the published and the granted quality of service.
    Port receiver = open("receiver", inbox);
    receiver.subscribe(at("low"), 0);
    receiver.subscribe(at("high"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    sender.publish(message("low", "a", 1));
    awaitTexts("a");
    sender.publish(message("high", "b", 1));
    awaitTexts("a", "b");
    sender.publish(message("high", "c", 0));
    awaitTexts("a", "b", "c");
    assertEquals(List.of(0, 1, 0), inbox.messages().stream().map(Message::qos).toList());
  }

  @Test
  void anExpiredMessageIsNotDeliveredAndTheOthersCarryWhatIsLeft() {
    whereWaitingMayTakeItsTime();
    // 3.3.2.3.3: expired messages are deleted; the interval sent on is less the time waited.
    open("device", inbox).subscribe(at("#"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    ground.cut(id("device"));
    ground.await("the news of the cut", () -> inbox.links().size() == 2);
    ground.settle();
    sender.publish(expiring("command", "soon stale", 1, false));
    sender.publish(expiring("command", "lasting", 60, false));
    ground.pass(2.2);
    ground.restore(id("device"));
    awaitTexts("lasting");
    int left = inbox.messages().get(0).expirySeconds();
    assertTrue(left >= 50 && left <= 58, "2.2 s or a little more of 60 s are over; left: " + left);
    settleAndExpect("lasting");
  }

  @Test
  void anExpiredRetainedMessageIsNotDelivered() {
    whereWaitingMayTakeItsTime();
    // 3.3.1.3 with 3.3.2.3.3: a retained message that has expired is discarded.
    Port sender = open("sender", new Inbox());
    sender.publish(expiring("a", "stale", 1, true));
    sender.publish(expiring("b", "fresh", 60, true));
    ground.pass(2.2);
    open("receiver", inbox).subscribe(at("#"), 1);
    awaitTexts("fresh");
    settleAndExpect("fresh");
    int left = inbox.messages().get(0).expirySeconds();
    if (agesRetainedMessages()) {
      assertTrue(
          left >= 50 && left <= 58, "2.2 s or a little more of 60 s are over; left: " + left);
    } else {
      assertEquals(60, left);
    }
  }

  @Test
  void aSessionThatHasExpiredKeepsNothingButTheClientSubscribesAgain() {
    whereWaitingMayTakeItsTime();
    // 3.1.2.11.2: after the session expiry interval the session and its messages are gone.
    open("device", inbox).subscribe(at("#"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    ground.cut(id("device"));
    ground.await("the news of the cut", () -> inbox.links().size() == 2);
    ground.settle();
    sender.publish(message("command", "too old", 1));
    ground.pass(SESSION_EXPIRY_SECONDS + 1.5);
    ground.restore(id("device"));
    ground.await("the link", () -> inbox.links().size() == 3);
    ground.settle();
    sender.publish(message("command", "new", 1));
    awaitTexts("new");
  }

  @Test
  void aNewPortStartsCleanWhateverTheBrokerKeptForItsName() {
    // 3.1.2.4: with Clean Start 1 the server discards the session there was, its subscriptions and
    // what waited for it.
    Inbox former = new Inbox();
    Port gone = open("device", former);
    gone.subscribe(at("#"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    ground.cut(id("device"));
    ground.await("the news of the cut", () -> former.links().equals(List.of(true, false)));
    ground.settle();
    sender.publish(message("command", "for the former", 1));
    gone.close();
    ground.settle();
    ground.restore(id("device"));
    Port device = open("device", inbox);
    ground.settle();
    sender.publish(message("command", "not asked for", 1));
    settleAndExpect();
    device.subscribe(at("#"), 1);
    ground.settle();
    sender.publish(message("command", "asked for", 1));
    awaitTexts("asked for");
    assertEquals(List.of(), former.texts());
  }

  @Test
  void aResumedSessionIsNotToldRetainedMessagesAgain() {
    // 3.8.3.1: with retain handling 1 retained messages are sent for new subscriptions only; the
    // session has kept the old ones (4.1).
    Port sender = open("sender", new Inbox());
    sender.publish(retained("tie/state", "open"));
    ground.settle();
    open("receiver", inbox).subscribe(at("+/state"), 1);
    awaitTexts("open");
    ground.settle();
    ground.cut(id("receiver"));
    ground.await("the news of the cut", () -> inbox.links().equals(List.of(true, false)));
    ground.restore(id("receiver"));
    ground.await("the link", () -> inbox.links().equals(List.of(true, false, true)));
    settleAndExpect("open");
    sender.publish(retained("tie/state", "closed"));
    awaitTexts("open", "closed");
  }

  @Test
  void wildcardsCoverWhatTheyShould() {
    // 4.7.1.2: # covers the parent and everything below; 4.7.1.3: + covers one level, an empty one
    // too.
    List<String> topics = List.of("a", "a/b", "a/b/c", "a/d/c", "b/b", "/b", "A/b");
    Map<String, List<String>> covered =
        Map.of(
            "a/#", List.of("a", "a/b", "a/b/c", "a/d/c"),
            "a/+", List.of("a/b"),
            "a/+/c", List.of("a/b/c", "a/d/c"),
            "+/b", List.of("a/b", "b/b", "/b", "A/b"),
            "+", List.of("a"),
            "/+", List.of("/b"),
            "#", topics);
    Map<String, Inbox> inboxes = new TreeMap<>();
    for (String filter : covered.keySet()) {
      inboxes.put(filter, new Inbox());
      String name = "filter" + inboxes.size();
      open(name, inboxes.getOrDefault(filter, inbox)).subscribe(at(filter), 1);
    }
    Port sender = open("sender", new Inbox());
    ground.settle();
    for (String topic : topics) {
      sender.publish(message(topic, topic, 1));
    }
    ground.settle();
    covered.forEach(
        (filter, expected) ->
            assertEquals(
                expected, inboxes.getOrDefault(filter, inbox).texts(), "covered by " + filter));
  }

  @Test
  void aRequestCarriesWhereToAnswerAndByWhatMark() {
    // 4.10 with 3.3.2.3.5 and 3.3.2.3.6: the response topic and the correlation data pass
    // unaltered.
    byte[] mark = {0, 1, (byte) 0xFF, 42};
    Inbox requests = new Inbox();
    Port device = open("device", requests);
    device.subscribe(at("device/command"), 1);
    Port supervisor = open("supervisor", inbox);
    supervisor.subscribe(at("device/ack"), 1);
    ground.settle();
    supervisor.publish(
        new Message(at("device/command"), bytes("open"), 1, false, 5, at("device/ack"), mark));
    ground.await("the request", () -> requests.texts().equals(List.of("open")));
    Message request = requests.messages().get(0);
    assertEquals(5, request.expirySeconds());
    device.publish(
        new Message(
            request.responseTopic(), bytes("done"), 1, false, 0, "", request.correlation()));
    awaitTexts("done");
    assertArrayEquals(mark, inbox.messages().get(0).correlation());
  }

  @Test
  void aSecondClientWithTheSameIdTakesThePlaceOfTheFirst() {
    whereWaitingMayTakeItsTime();
    // 3.1.4: the server disconnects the first and sends its will, which has no delay.
    open("watcher", inbox).subscribe(at("+/online"), 1);
    Inbox first = new Inbox();
    Inbox second = new Inbox();
    Port former = open("twin", message("twin/online", "first lost", 1), first);
    former.subscribe(at("order"), 1);
    ground.settle();
    Port latter = open("twin", message("twin/online", "second lost", 1), second);
    latter.subscribe(at("order"), 1);
    ground.await("the news at the first", () -> first.links().equals(List.of(true, false)));
    awaitTexts("first lost");
    if (!tellsOfTakeOver()) {
      return;
    }
    // The first must not come back: two would throw each other out for ever.
    ground.pass(2.5);
    assertFalse(former.connected());
    assertTrue(latter.connected());
    open("sender", new Inbox()).publish(message("order", "go", 1));
    ground.await("the order", () -> second.texts().equals(List.of("go")));
    assertEquals(List.of(), first.texts());
    assertEquals(List.of(true), second.links());
    assertEquals(List.of("first lost"), inbox.texts());
  }

  @Test
  void whatIsPublishedWhileTheLinkIsDownIsDropped() {
    // The port's own promise, not MQTT's: old orders must not arrive late.
    open("receiver", inbox).subscribe(at("#"), 1);
    Inbox news = new Inbox();
    Port sender = open("sender", news);
    ground.cut(id("sender"));
    ground.await("the news of the cut", () -> news.links().equals(List.of(true, false)));
    assertFalse(sender.connected());
    sender.publish(message("command", "old order", 1));
    ground.restore(id("sender"));
    ground.await("the link", sender::connected);
    sender.publish(message("command", "new order", 1));
    awaitTexts("new order");
    settleAndExpect("new order");
  }

  @Test
  void aClosedPortHearsNothingMore() {
    Port receiver = open("receiver", inbox);
    receiver.subscribe(at("#"), 1);
    Port sender = open("sender", new Inbox());
    ground.settle();
    receiver.close();
    receiver.close();
    ground.settle();
    assertFalse(receiver.connected());
    sender.publish(message("event", "unheard", 1));
    settleAndExpect();
  }

  private Port open(String clientId, Inbox listener) {
    return open(clientId, NO_WILL, listener);
  }

  private Port open(String clientId, Message will, Inbox listener) {
    Port port = ground.connect(id(clientId), will, listener);
    ground.await("the link of " + clientId, port::connected);
    return port;
  }

  private void awaitTexts(String... texts) {
    ground.await("the messages " + List.of(texts), () -> inbox.messages().size() >= texts.length);
    assertEquals(List.of(texts), inbox.texts());
  }

  private void settleAndExpect(String... texts) {
    ground.settle();
    assertEquals(List.of(texts), inbox.texts());
  }

  private List<String> textsOf(String topic) {
    return inbox.messages().stream()
        .filter(message -> message.topic().equals(at(topic)))
        .map(Message::text)
        .toList();
  }

  private Message message(String topic, String text, int qos) {
    return Message.of(at(topic), bytes(text), qos, false);
  }

  private Message retained(String topic, String text) {
    return Message.of(at(topic), bytes(text), 1, true);
  }

  private Message expiring(String topic, String text, int seconds, boolean retain) {
    return new Message(at(topic), bytes(text), 1, retain, seconds, "", new byte[0]);
  }

  private String at(String topic) {
    return root + "/" + topic;
  }

  private String id(String clientId) {
    return root + "-" + clientId;
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
