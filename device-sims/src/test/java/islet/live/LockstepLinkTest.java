package islet.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Scanned;
import islet.contract.Step;
import islet.contract.StepCall;
import islet.contract.Topics;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * The bench's end of the lockstep on a broker that keeps the order within a topic and nothing else,
 * which is all that OASIS MQTT Version 5.0, 4.6 (from memory) promises.
 */
@Timeout(60)
@Tag("apart")
class LockstepLinkTest {

  private static final Duration SOON = Duration.ofSeconds(10);
  private static final long NEXT_MS = 250;

  private final Topics topics = new Topics("ferry-landing");
  private final List<Message> said = new ArrayList<>();
  private Consumer<Step> controller = step -> {};
  private Port.Listener bench = nobody();

  private static Port.Listener nobody() {
    return new Port.Listener() {
      @Override
      public void message(Message message) {}

      @Override
      public void link(boolean up) {}
    };
  }

  private LockstepLink link() {
    return new LockstepLink(
        "ferry-landing",
        (clientId, will, listener) -> {
          bench = listener;
          listener.link(true);
          return port();
        },
        SOON);
  }

  private Port port() {
    return new Port() {
      @Override
      public void publish(Message message) {
        said.add(message);
        if (message.topic().equals(topics.of(Device.BENCH, Kind.STEP))) {
          try {
            controller.accept(Step.LAYOUT.decode(message.payload()));
          } catch (MalformedException e) {
            throw new AssertionError(e);
          }
        }
      }

      @Override
      public void subscribe(String filter, int qos) {
        assertEquals(1, qos, filter);
      }

      @Override
      public boolean connected() {
        return true;
      }

      @Override
      public void close() {}
    };
  }

  private void comes(Device device, Kind kind, String text, boolean retained) {
    byte[] payload = text.getBytes(StandardCharsets.UTF_8);
    bench.message(Message.of(topics.of(device, kind), payload, 0, retained));
  }

  private void answers(long step, long messages) {
    Scanned scanned = new Scanned(0, 0, step, messages, NEXT_MS, "one");
    bench.message(
        Message.of(
            topics.of(Device.SUPERVISOR, Kind.SCANNED), Scanned.LAYOUT.encode(scanned), 1, false));
  }

  private LockstepLink begun() throws SurroundingsException {
    LockstepLink link = link();
    controller = step -> answers(step.seq(), 0);
    assertEquals("one", link.begin(0, SOON).orElseThrow().name());
    return link;
  }

  @Test
  void anAnswerThatOvertakesWhatItCountsWaitsForItAndTheOrderOfTopicsIsFixed() throws Exception {
    LockstepLink link = begun();
    controller =
        step -> {
          answers(step.seq(), 4);
          comes(Device.SUPERVISOR, Kind.TELEMETRY, "picture", false);
          comes(Device.METER, Kind.COMMAND, "first", false);
          comes(Device.TIE, Kind.COMMAND, "open", false);
          comes(Device.TIE, Kind.COMMAND, "kept since yesterday", true);
          comes(Device.METER, Kind.COMMAND, "second", false);
        };
    Optional<LockstepLink.Answer> answer = link.scan(100_000);
    assertEquals(NEXT_MS * 1_000, answer.orElseThrow().nextMicros());
    assertEquals(
        List.of("open", "first", "second", "picture"),
        answer.get().messages().stream().map(Message::text).toList());
    // Quality and retention are the contract's, whatever this broker has made of them.
    assertEquals(List.of(1, 1, 1, 0), answer.get().messages().stream().map(Message::qos).toList());
  }

  @Test
  void everyMessageOfTheBenchIsCountedIsNotRetainedAndComesAtQualityOne() throws Exception {
    LockstepLink link = begun();
    said.clear();
    List<Step> steps = new ArrayList<>();
    controller =
        step -> {
          steps.add(step);
          answers(step.seq(), 0);
        };
    for (int i = 0; i < 3; i++) {
      link.forward(Message.of(topics.of(Device.TIE, Kind.TELEMETRY), new byte[] {'{'}, 0, true));
    }
    assertTrue(link.scan(100_000).isPresent());
    assertTrue(link.scan(200_000).isPresent());
    assertEquals(List.of(3L, 3L), steps.stream().map(Step::messages).toList());
    assertEquals(List.of(100_000L, 200_000L), steps.stream().map(Step::at).toList());
    assertTrue(said.stream().allMatch(message -> message.qos() == 1 && !message.retain()));
  }

  @Test
  void onlyTheAnswerToTheLatestCallBeginsSoThatNoneOfTheEarlierOnesIsOnItsWay() throws Exception {
    LockstepLink link = link();
    List<Step> calls = new ArrayList<>();
    controller =
        step -> {
          calls.add(step);
          if (calls.size() == 1) {
            answers(step.seq() - 1, 0); // to a call of an earlier run
          } else {
            answers(step.seq(), 0);
          }
        };
    Scanned first = link.begin(0, SOON).orElseThrow();
    assertEquals(2, calls.size());
    assertEquals(calls.get(1).seq(), first.step());
    assertTrue(calls.stream().allMatch(step -> step.call() == StepCall.BEGIN));
  }

  @Test
  void whoSpeaksBetweenTwoStepsIsToldOfIt() throws Exception {
    LockstepLink link = begun();
    assertTrue(link.scan(100_000).isPresent());
    comes(Device.TIE, Kind.COMMAND, "close", false);
    try {
      link.scan(200_000);
    } catch (ControllerFailedException e) {
      assertEquals(
          "it spoke out of turn, on islet/v1/ferry-landing/tie/command; allowed is to speak after"
              + " a SCAN and before the answer to it",
          e.getMessage());
      return;
    }
    throw new AssertionError("nothing was said");
  }
}
