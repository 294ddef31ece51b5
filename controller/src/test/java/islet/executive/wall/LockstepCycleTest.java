package islet.executive.wall;

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
import islet.control.Supervisor;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * The controller's end of the lockstep, judged by docs/own-controller.md: it scans when everything
 * that the step counts is there, at the step's instant, and says how much it has sent.
 */
@Timeout(20)
class LockstepCycleTest {

  private static final Site SITE =
      SiteReader.read(Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));
  private static final Topics TOPICS = new Topics(SITE.id());

  private final List<Message> said = new ArrayList<>();
  private final List<Long> scans = new ArrayList<>();
  private final LockstepCycle cycle =
      new LockstepCycle(SITE, site -> counting(), "one", (clientId, will, listener) -> port());

  private Supervisor counting() {
    return (in, now, out) -> {
      scans.add(now);
      out.begin();
      out.event("note", "", "", "a scan");
    };
  }

  private Port port() {
    return new Port() {
      @Override
      public void publish(Message message) {
        said.add(message);
      }

      @Override
      public void subscribe(String filter, int qos) {}

      @Override
      public boolean connected() {
        return true;
      }

      @Override
      public void close() {}
    };
  }

  private void step(long seq, long at, StepCall call, long messages) {
    byte[] payload = Step.LAYOUT.encode(new Step(seq, at, call, messages));
    cycle.message(Message.of(TOPICS.of(Device.BENCH, Kind.STEP), payload, 1, false));
  }

  private void telemetry(boolean retained) {
    cycle.message(
        Message.of(TOPICS.of(Device.TIE, Kind.TELEMETRY), new byte[] {'{', '}'}, 0, retained));
  }

  private List<Scanned> answers() throws MalformedException {
    List<Scanned> answers = new ArrayList<>();
    for (Message message : said) {
      if (message.topic().equals(TOPICS.of(Device.SUPERVISOR, Kind.SCANNED))) {
        answers.add(Scanned.LAYOUT.decode(message.payload()));
      }
    }
    return answers;
  }

  @Test
  void itScansAtTheStepsInstantWhenAllThatTheStepCountsIsThereAndCountsWhatItSays()
      throws Exception {
    telemetry(true); // kept by the broker since before
    step(7, 1_000_000, StepCall.BEGIN, 0);
    step(8, 1_100_000, StepCall.SCAN, 2);
    telemetry(false);
    // Its own words come back over its subscription and are none of the bench's.
    cycle.message(Message.of(TOPICS.of(Device.TIE, Kind.COMMAND), new byte[] {'{'}, 1, false));
    telemetry(false);
    step(9, 1_200_000, StepCall.SCAN, 3);
    step(10, 1_300_000, StepCall.END, 3);
    telemetry(false);
    assertTrue(cycle.run());

    // The step 9 was taken back by the end before what it counts had come.
    assertEquals(List.of(1_100_000L), scans);
    List<Scanned> answers = answers();
    assertEquals(List.of(7L, 8L), answers.stream().map(Scanned::step).toList());
    assertEquals(0, answers.get(0).messages());
    long sent =
        said.stream()
            .map(Message::topic)
            .filter(topic -> !topic.endsWith("/online") && !topic.endsWith("/scanned"))
            .count();
    assertEquals(sent, answers.get(1).messages());
    assertTrue(sent > 0);
    assertEquals(100, answers.get(1).nextMs());
    assertTrue(said.stream().allMatch(message -> message.qos() == 1));
  }
}
