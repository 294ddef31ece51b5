package islet.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * What waits and what gives way. Judged by the policy as docs/security.md states it, and by a plain
 * list that keeps to it in the slowest way.
 */
class MailboxTest {

  private static final String TELEMETRY = "islet/v1/s/tie/telemetry";
  private static final String COMMAND = "islet/v1/s/supervisor/command";

  private final Mailbox mailbox = new Mailbox(3, 8);

  private static Message message(String topic, int number) {
    return Message.of(topic, Integer.toString(number).getBytes(StandardCharsets.UTF_8), 0, false);
  }

  private List<String> rest() {
    List<String> heard = new ArrayList<>();
    boolean more = true;
    while (more) {
      more = mailbox.deliver(m -> heard.add(m.topic() + " " + m.text()));
    }
    return heard;
  }

  @Test
  void ofTelemetryTheNewestCountsAndOfCommandsTheFirst() {
    for (int i = 0; i < 5; i++) {
      Mailbox.Fate telemetry = mailbox.put(message(TELEMETRY, i));
      Mailbox.Fate command = mailbox.put(message(COMMAND, i));
      assertEquals(i < 3 ? Mailbox.Fate.TAKEN : Mailbox.Fate.TAKEN_FOR_AN_OLDER, telemetry);
      assertEquals(i < 3 ? Mailbox.Fate.TAKEN : Mailbox.Fate.REFUSED, command);
    }
    assertEquals(
        List.of(
            COMMAND + " 0",
            COMMAND + " 1",
            TELEMETRY + " 2",
            COMMAND + " 2",
            TELEMETRY + " 3",
            TELEMETRY + " 4"),
        rest());
    assertFalse(mailbox.deliver(m -> {}));
  }

  @Test
  void asManyTopicsAsThereMayBeDoNotGrowItBeyondItsBound() {
    for (int i = 0; i < 100; i++) {
      Mailbox.Fate fate = mailbox.put(message("islet/v1/s/x" + i + "/telemetry", i));
      assertEquals(i < 8 ? Mailbox.Fate.TAKEN : Mailbox.Fate.REFUSED, fate);
    }
    assertEquals(8, mailbox.size());
  }

  @Test
  void itKeepsToItsPolicyWhateverComes() {
    SplittableRandom random = new SplittableRandom(7);
    List<String> topics =
        List.of(TELEMETRY, COMMAND, "islet/v1/s/tie/online", "islet/v1/s/tie/ack");
    ArrayDeque<Message> plain = new ArrayDeque<>();
    for (int i = 0; i < 20_000; i++) {
      if (random.nextInt(10) < 6) {
        Message message = message(topics.get(random.nextInt(topics.size())), i);
        boolean fits = plain.size() < 8 && count(plain, message.topic()) < 3;
        boolean newest = message.topic().endsWith("y") || message.topic().endsWith("online");
        if (!fits && newest && count(plain, message.topic()) > 0) {
          plain.remove(
              plain.stream()
                  .filter(m -> m.topic().equals(message.topic()))
                  .findFirst()
                  .orElseThrow());
          fits = true;
        }
        if (fits) {
          plain.add(message);
        }
        assertEquals(!fits, mailbox.put(message) == Mailbox.Fate.REFUSED);
      } else {
        List<Message> out = new ArrayList<>();
        assertEquals(!plain.isEmpty(), mailbox.deliver(out::add));
        assertEquals(plain.isEmpty() ? List.of() : List.of(plain.remove()), out);
      }
      assertEquals(plain.size(), mailbox.size());
    }
  }

  private static long count(ArrayDeque<Message> messages, String topic) {
    return messages.stream().filter(m -> m.topic().equals(topic)).count();
  }
}
